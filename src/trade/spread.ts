import { ok } from '../fault/fault.ts';
import { compareQuantities, convert, minus, printQuantity, type Quantity } from '../quantity/quantity.ts';
import type { Calculation } from './calculation.ts';
import { answer, common, givenValues } from './values.ts';

const extremes = (values: readonly Quantity[]): readonly [Quantity, Quantity] => [
  values.reduce((least, q) => (compareQuantities(q, least) < 0 ? q : least)),
  values.reduce((most, q) => (compareQuantities(q, most) > 0 ? q : most)),
];

export const spread: Calculation = {
  ...common,
  name: 'spread',
  title: 'Largest less smallest',
  gives: 'any',
  caution: 'With one value the spread is nothing; that proves nothing.',
  compute: (given) => {
    const [least, most] = extremes(givenValues(given));
    return ok(
      answer('spread', minus(most, convert(least, most.unit)), `${printQuantity(most)} - ${printQuantity(least)}`),
    );
  },
};
