import { good } from '../fault/fault.ts';
import { makeQuantity } from '../quantity/quantity.ts';
import type { Calculation } from './calculation.ts';
import { answer, common, firstOf, listed, total, valuesOf } from './values.ts';

export const mean: Calculation = {
  ...common,
  name: 'mean',
  title: 'Mean of values',
  gives: 'any',
  caution: 'A mean hides the worst value; limits on each value look at each.',
  compute: (given) => {
    const values = valuesOf(given);
    const q = makeQuantity(total(values).div(values.length), firstOf(values).unit);
    return good(answer('mean', q, `mean of ${listed(values, ', ')}`));
  },
};
