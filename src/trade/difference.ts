import { ok } from '../fault/fault.ts';
import { convert, minus, printQuantity } from '../quantity/quantity.ts';
import { exactly, type Calculation } from './calculation.ts';

export const difference: Calculation = {
  name: 'difference',
  title: 'How far two values are apart',
  gives: 'any',
  inputs: [
    { name: 'first', dimension: 'any', required: true, about: 'one value' },
    { name: 'second', dimension: 'any', required: true, about: 'the other' },
  ],
  source: 'arithmetic, exact; a difference of temperatures is a temperature difference',
  range: 'two values of one kind',
  caution: 'The main result has no sign, so that limits look at the size; first less second stands beside it.',
  example: { first: '23.3 °', second: '22 °' },
  compute: (given) => {
    const [first, second] = [given.quantity('first'), given.quantity('second')];
    const signed = minus(first, convert(second, first.unit));
    return ok({
      results: [
        exactly('difference', signed.amount.abs(), signed.unit),
        exactly('first-less-second', signed.amount, signed.unit),
      ],
      working: `${printQuantity(first)} - ${printQuantity(second)} = ${printQuantity(signed)}`,
    });
  },
};
