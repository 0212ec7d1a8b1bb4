import { ok } from '../fault/fault.ts';
import { makeQuantity } from '../quantity/quantity.ts';
import type { Calculation } from './calculation.ts';
import { answer, common, firstOf, listedQuantities, total, givenValues } from './values.ts';

export const mean: Calculation = {
  ...common,
  name: 'mean',
  title: 'Mean of values',
  gives: 'any',
  caution: 'A mean hides the worst value; limits on each value look at each.',
  compute: (given) => {
    const values = givenValues(given);
    const q = makeQuantity(total(values).div(values.length), firstOf(values).unit);
    return ok(answer('mean', q, `mean of ${listedQuantities(values, ', ')}`));
  },
};
