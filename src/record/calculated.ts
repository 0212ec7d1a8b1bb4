import type { z } from 'zod/mini';
import { orderedInputs, recalculate } from '../job/calculated.ts';
import type { CalculatedBy } from '../job/verb-spec.ts';
import { present, unlessEmpty } from './plain.ts';
import type { calculated, Frozen } from './shapes.ts';

export type RecordCalculated = Frozen<z.infer<typeof calculated>>;

/** How a value was calculated, with its working; nothing where it was not. */
export const calculatedRecorded = (by: CalculatedBy | undefined): RecordCalculated | undefined => {
  if (by === undefined) return undefined;
  const done = recalculate(by);
  return present({
    calculation: by.calculation,
    result: by.result,
    with: orderedInputs(by).map(([input, is]) => ({ input, is })),
    working: done.ok ? done.value.working : undefined,
    formula: done.ok ? done.value.source : undefined,
    caution: done.ok ? done.value.caution : undefined,
    warnings: done.ok ? unlessEmpty(done.value.warnings) : undefined,
  });
};

/** The same in the form that `recalculate` takes. */
export const calculatedAgain = ({ calculation, result, with: inputs }: RecordCalculated): CalculatedBy => ({
  calculation,
  ...(result === undefined ? {} : { result }),
  with: Object.fromEntries(inputs.map(({ input, is }) => [input, is])),
});
