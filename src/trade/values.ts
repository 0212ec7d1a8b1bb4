import Fraction from 'fraction.js';
import { convert, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { exactly, type CalculationAnswer, type CalculationInputs, type InputSpec } from './calculation.ts';

const valueInput: InputSpec = {
  name: 'value',
  dimension: 'any',
  required: true,
  many: true,
  about: 'value1, value2 …, or a list with semicolons',
};

export const common = {
  inputs: [valueInput],
  source: 'arithmetic, exact',
  range: 'one value or more, all of one kind',
  example: { value1: '4 turns', value2: '2 turns' },
} as const;

export const givenValues = (given: CalculationInputs): readonly Quantity[] =>
  given.list('value').map(({ quantity }) => quantity);

export const firstOf = (values: readonly Quantity[]): Quantity => {
  const [first] = values;
  if (first === undefined) throw new RangeError('no values');
  return first;
};

export const listedQuantities = (values: readonly Quantity[], between: string): string =>
  values.map(printQuantity).join(between);

export const answer = (name: string, q: Quantity, working: string): CalculationAnswer => ({
  results: [exactly(name, q.amount, q.unit)],
  working: `${working} = ${printQuantity(q)}`,
});

export const total = (values: readonly Quantity[]): Fraction => {
  const { unit } = firstOf(values);
  return values.reduce((sum, q) => sum.add(convert(q, unit).amount), new Fraction(0));
};
