import { bad, good } from '../fault/fault.ts';
import { makeQuantity } from '../quantity/quantity.ts';
import { wrongInput, type Calculation } from './calculation.ts';
import { answer, common, firstOf, listed, total, valuesOf } from './values.ts';

export const sum: Calculation = {
  ...common,
  name: 'sum',
  title: 'Sum of values',
  gives: 'any',
  caution: 'Temperatures have no sum.',
  compute: (given) => {
    const values = valuesOf(given);
    const { unit } = firstOf(values);
    if (unit.dimension === 'temperature')
      return bad(wrongInput('value', 'temperatures have no sum', 'take their mean'));
    return good(answer('sum', makeQuantity(total(values), unit), listed(values, ' + ')));
  },
};
