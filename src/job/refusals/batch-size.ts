import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Mix } from '../../procedure/model.ts';
import { decide } from '../../quantity/decision.ts';
import { plus, printQuantity, type Quantity } from '../../quantity/quantity.ts';
import type { JobState } from '../state.ts';
import { limitsNow } from '../values.ts';

const sum = (parts: readonly Quantity[]): Quantity | undefined =>
  parts.slice(1).reduce<Quantity | undefined>((total, part) => (total ? plus(total, part) : part), parts[0]);

/** A batch must be within the size that the page gives. */
export const sizeRefusals = (job: JobState, mix: Mix, parts: readonly Quantity[]): readonly Refusal[] => {
  const total = sum(parts);
  const limits = mix.batch && limitsNow(job, mix.batch);
  return total && limits && decide(total, limits) === 'outside'
    ? [
        refusal(
          'batch-size',
          `a batch of ${printQuantity(total)} is outside ${limits.text}`,
          'mix a batch within it; a cup already mixed is entered with discarded',
        ),
      ]
    : [];
};
