import * as z from 'zod/mini';
import { gateItemKinds } from '../job/gate-sheet.ts';
import { recordedBreak } from './parts/break.ts';
import { recordedCure } from './parts/cure.ts';
import { recordedHold } from './parts/hold.ts';
import { recordedLoose } from './parts/loose.ts';
import { recordedMix } from './parts/mix.ts';
import { recordedPhoto } from './parts/photo.ts';
import { recordedReading } from './parts/reading.ts';
import { recordedResult } from './parts/result.ts';
import { recordedTighten } from './parts/tighten.ts';
import { recordedWait } from './parts/wait.ts';
import { takenShape } from './taken.ts';
import { optionalShape, stamp, textShape, textsShape, wholeShape, yes, type Frozen } from './shapes.ts';

const gateItem = { kind: z.enum(gateItemKinds), what: textShape, job: optionalShape(textShape) };

/** One step, with everything that was entered on it. */
export const stepShape = z.strictObject({
  number: wholeShape,
  step: textShape,
  /** The revision that the job follows now, where it no longer has this step. */
  'not-in': optionalShape(textShape),
  title: textShape,
  do: optionalShape(textShape),
  say: optionalShape(textShape),
  warnings: optionalShape(textsShape),
  cautions: optionalShape(textsShape),
  notes: optionalShape(textsShape),
  critical: optionalShape(yes),
  permanent: optionalShape(yes),
  sets: optionalShape(textsShape),
  proves: optionalShape(textsShape),
  'relies-on': optionalShape(textsShape),
  covers: optionalShape(textsShape),
  uncovers: optionalShape(textsShape),
  gate: optionalShape(textShape),
  /** People needed, the performer included. */
  people: optionalShape(wholeShape),
  place: optionalShape(textShape),
  ...takenShape,
  'only-if': optionalShape(textShape),
  'in-pot-life-of': optionalShape(textsShape),
  /** The stage of a cure that this step relied on. */
  'after-stage': optionalShape(z.strictObject({ cures: textsShape, stage: textShape })),
  state: z.enum(['finished', 'left for later', 'not done', 'did not apply', 'open']),
  begun: optionalShape(
    z.strictObject({
      ...stamp,
      /** Nobody entered a beginning: the step's first entry began it. */
      implied: optionalShape(yes),
    }),
  ),
  /** What was shown before this permanent step, by the entry that opened it. */
  'shown-before': optionalShape(z.strictObject({ shown: textsShape, ...stamp })),
  finished: optionalShape(
    z.strictObject({
      ...stamp,
      /** What the person added. */
      reason: optionalShape(textShape),
    }),
  ),
  /** What was open, and what was excepted by name, when the step passed its gate. */
  'gate-sheet': optionalShape(
    z.strictObject({
      open: z.array(z.strictObject(gateItem)),
      excepted: z.array(z.strictObject({ ...gateItem, because: textShape, by: textShape })),
    }),
  ),
  skipped: optionalShape(
    z.strictObject({
      because: textShape,
      before: textShape,
      tag: textShape,
      ...stamp,
      /** Its tag was closed without the work: a departure. */
      'not-done': optionalShape(z.strictObject({ because: textShape, ...stamp })),
    }),
  ),
  reopened: optionalShape(z.array(z.strictObject({ because: textShape, ...stamp }))),
  /** Helpers named, and everybody who performed here, helpers included. */
  with: textsShape,
  performers: textsShape,

  // The parts of work. Each key is the `slot` of its part.
  readings: optionalShape(recordedReading.shape),
  results: optionalShape(recordedResult.shape),
  tighten: optionalShape(recordedTighten.shape),
  mix: optionalShape(recordedMix.shape),
  cure: optionalShape(recordedCure.shape),
  break: optionalShape(recordedBreak.shape),
  hold: optionalShape(recordedHold.shape),
  closes: optionalShape(recordedLoose.shape),
  photos: optionalShape(recordedPhoto.shape),
  wait: optionalShape(recordedWait.shape),
  /** The longest interval before the step. */
  'no-later-than': optionalShape(textShape),
});

export type RecordStep = Frozen<z.infer<typeof stepShape>>;
