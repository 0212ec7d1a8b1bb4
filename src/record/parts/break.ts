import * as z from 'zod/mini';
import { present } from '../plain.ts';
import { optionalShape, textShape, textsShape, yes } from '../shapes.ts';
import type { RecordedPart } from './part.ts';

const breakShape = z.strictObject({
  /** The mix steps whose samples are broken here. */
  of: textsShape,
  /** The stage of the cure before which they may not be. */
  'not-before': optionalShape(textShape),
  /** How each sample broke; one without a result has still to be broken. */
  samples: z.array(
    z.strictObject({
      sample: textShape,
      batch: textShape,
      result: optionalShape(z.enum(['held', 'failed'])),
      /** A rule refused the breaking, and no disposition has accepted it. */
      refused: optionalShape(yes),
    }),
  ),
});

/** What the procedure asks for, and how each sample broke. By whom and when is recorded with its batch, in the mix. */
export const recordedBreak: RecordedPart<'break', typeof breakShape> = {
  slot: 'break',
  shape: breakShape,
  write: (job, { break: breaks }) =>
    breaks &&
    present({
      of: breaks.of,
      'not-before': breaks.notBefore,
      samples: job.batches
        .filter(({ step, discarded, superseded }) => breaks.of.includes(step) && !discarded && superseded === undefined)
        .flatMap(({ batch, sample }) =>
          sample
            ? [present({ sample: sample.id, batch, result: sample.broken?.result, refused: sample.broken?.pending })]
            : [],
        ),
    }),
};
