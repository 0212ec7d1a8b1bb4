import * as z from 'zod/mini';
import { present } from '../plain.ts';
import { optionalShape, textShape, textsShape } from '../shapes.ts';
import type { RecordedPart } from './part.ts';

const breakShape = z.strictObject({
  /** The mix steps whose samples are broken here. */
  of: textsShape,
  /** The stage of the cure before which they may not be. */
  'not-before': optionalShape(textShape),
});

/** What the procedure asks for. How a sample broke is recorded with its batch, in the mix. */
export const recordedBreak: RecordedPart<'break', typeof breakShape> = {
  slot: 'break',
  shape: breakShape,
  write: (_job, step) => step.break && present({ of: step.break.of, 'not-before': step.break.notBefore }),
};
