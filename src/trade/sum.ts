import { err, ok } from '../fault/fault.ts';
import { makeQuantity } from '../quantity/quantity.ts';
import { wrongInput, type Calculation } from './calculation.ts';
import { answer, common, firstOf, listedQuantities, total, givenValues } from './values.ts';

export const sum: Calculation = {
  ...common,
  name: 'sum',
  title: 'Sum of values',
  gives: 'any',
  caution: 'Temperatures have no sum.',
  compute: (given) => {
    const values = givenValues(given);
    const { unit } = firstOf(values);
    if (unit.dimension === 'temperature')
      return err(wrongInput('value', 'temperatures have no sum', 'take their mean'));
    return ok(answer('sum', makeQuantity(total(values), unit), listedQuantities(values, ' + ')));
  },
};
