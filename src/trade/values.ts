import Fraction from 'fraction.js';
import { bad, good } from '../fault/fault.ts';
import { compareQuantities, convert, makeQuantity, minus, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { exactly, wrongInput, type Answer, type Calculation, type Given, type InputSpec } from './calculation.ts';

const valueInput: InputSpec = {
  name: 'value',
  dimension: 'any',
  required: true,
  many: true,
  about: 'value1, value2 …, or a list with semicolons',
};

const common = {
  inputs: [valueInput],
  source: 'arithmetic, exact',
  range: 'one value or more, all of one kind',
  example: { value1: '4 turns', value2: '2 turns' },
} as const;

const valuesOf = (given: Given): readonly Quantity[] => given.list('value').map(({ quantity }) => quantity);

const firstOf = (values: readonly Quantity[]): Quantity => {
  const [first] = values;
  if (first === undefined) throw new RangeError('no values');
  return first;
};

const listed = (values: readonly Quantity[], between: string): string => values.map(printQuantity).join(between);

const answer = (name: string, q: Quantity, working: string): Answer => ({
  results: [exactly(name, q.amount, q.unit)],
  working: `${working} = ${printQuantity(q)}`,
});

const total = (values: readonly Quantity[]): Fraction => {
  const { unit } = firstOf(values);
  return values.reduce((sum, q) => sum.add(convert(q, unit).amount), new Fraction(0));
};

export const sum: Calculation = {
  ...common,
  name: 'sum',
  title: 'Sum of values',
  caution: 'Temperatures have no sum.',
  compute: (given) => {
    const values = valuesOf(given);
    const { unit } = firstOf(values);
    if (unit.dimension === 'temperature')
      return bad(wrongInput('value', 'temperatures have no sum', 'take their mean'));
    return good(answer('sum', makeQuantity(total(values), unit), listed(values, ' + ')));
  },
};

export const mean: Calculation = {
  ...common,
  name: 'mean',
  title: 'Mean of values',
  caution: 'A mean hides the worst value; limits on each value look at each.',
  compute: (given) => {
    const values = valuesOf(given);
    const q = makeQuantity(total(values).div(values.length), firstOf(values).unit);
    return good(answer('mean', q, `mean of ${listed(values, ', ')}`));
  },
};

const extremes = (values: readonly Quantity[]): readonly [Quantity, Quantity] => [
  values.reduce((least, q) => (compareQuantities(q, least) < 0 ? q : least)),
  values.reduce((most, q) => (compareQuantities(q, most) > 0 ? q : most)),
];

export const spread: Calculation = {
  ...common,
  name: 'spread',
  title: 'Largest less smallest',
  caution: 'With one value the spread is nothing; that proves nothing.',
  compute: (given) => {
    const [least, most] = extremes(valuesOf(given));
    return good(
      answer('spread', minus(most, convert(least, most.unit)), `${printQuantity(most)} - ${printQuantity(least)}`),
    );
  },
};

export const difference: Calculation = {
  name: 'difference',
  title: 'How far two values are apart',
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
    return good({
      results: [
        exactly('difference', signed.amount.abs(), signed.unit),
        exactly('first-less-second', signed.amount, signed.unit),
      ],
      working: `${printQuantity(first)} - ${printQuantity(second)} = ${printQuantity(signed)}`,
    });
  },
};
