import * as z from 'zod/mini';
import type { JobState } from '../job/state.ts';
import { present } from './plain.ts';
import { entry, optionalShape, textShape, textsShape, type Frozen } from './shapes.ts';

const shape = z.strictObject({
  codes: textsShape,
  /** Why it was done all the same. */
  reason: textShape,
  /** The disposition that accepted it as it is; absent where nothing did, and then it counts for nothing. */
  accepted: optionalShape(entry),
});

/** What a rule refused and was done all the same. */
export const refused = optionalShape(shape);

export type RecordRefused = Frozen<z.infer<typeof shape>>;

/** What a rule said against an entry that was written down as done. @param id the entry's `WRITER:SEQ`. */
export const refusedOf = (job: JobState, id: string): RecordRefused | undefined => {
  const breach = job.breaches.find((one) => one.entry === id);
  return breach && present({ codes: breach.codes, reason: breach.reason, accepted: breach.accepted });
};
