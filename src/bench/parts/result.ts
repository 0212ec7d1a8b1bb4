import { resultNow } from '../../job/values.ts';
import { verdictOfResult } from '../../job/parts/result.ts';
import { labelIn } from '../../job/labels.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import { valueRow } from '../view/value-row.ts';
import type { BenchPart } from './part.ts';

/** A calculated value: nothing is entered for it, so a result that is missing waits for something else. */
export const resultPart = {
  ask: (_job, step, { what }) => ({ kind: 'stuck', step, what }),
  values: ({ job }, step, sized) =>
    step.results.flatMap((result) => {
      const now = resultNow(job, result.result)?.quantity;
      return now
        ? [valueRow(labelIn(job.plan, result.result), printQuantity(now), verdictOfResult(job, result), sized)]
        : [];
    }),
} satisfies BenchPart<'result'>;
