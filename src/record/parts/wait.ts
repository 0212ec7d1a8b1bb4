import { textShape } from '../shapes.ts';
import type { RecordedPart } from './part.ts';

/** A wait by the clock, as the procedure states it. */
export const recordedWait: RecordedPart<'wait', typeof textShape> = {
  slot: 'wait',
  shape: textShape,
  write: (_job, step) => step.wait?.text,
};
