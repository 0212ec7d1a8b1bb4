import fc from 'fast-check';
import Fraction from 'fraction.js';
import { expect, test } from 'vitest';
import { fromPlainValue, toPlainValue } from '../../src/quantity/plain.ts';
import { unitNamed } from '../../src/quantity/units.ts';
import { anyUnit, rational } from './arbitrary.ts';

const text = (value: unknown): string => JSON.stringify(value, toPlainValue);
const back = (value: unknown): unknown => JSON.parse(text(value), fromPlainValue);

test('a fraction is written with its sign, a unit by its name and dimension', () => {
  expect(text(new Fraction(-3, 4))).toBe('{"$":"-3/4"}');
  expect(text(new Fraction(0))).toBe('{"$":"0/1"}');
  expect(text({ at: [unitNamed('lb'), unitNamed('lb', 'force')] })).toBe(
    '{"at":[{"$":"lb","of":"mass"},{"$":"lbf","of":"force"}]}',
  );
});

test('a unit comes back as the one of the table', () => {
  for (const unit of [unitNamed('mm'), unitNamed('°C'), unitNamed('°C', 'temperature-difference')])
    expect(back([unit])).toEqual([unit]);
  expect((back({ unit: unitNamed('mm') }) as { unit: unknown }).unit).toBe(unitNamed('mm'));
});

test('an object that has the mark itself, and one that looks like a unit, come back as they were', () => {
  for (const value of [
    { $: '1/2' },
    { $: 'mm', of: 'length' },
    { $: null },
    { $: { $: 1 }, a: [new Fraction(1, 3)] },
    { name: 'x', dimension: 'length', factor: 1 },
    { name: 'x', dimension: 'length' },
    { factor: new Fraction(1, 2), name: 'x' },
    [null, true, 'a', 1.5, {}, []],
  ])
    expect(back(value)).toEqual(value);
});

test('a unit that is not in the table is a bug', () => {
  expect(() => JSON.parse('{"$":"furlong","of":"length"}', fromPlainValue)).toThrow(RangeError);
});

test('law: exact values come back exactly', () => {
  fc.assert(
    fc.property(rational, anyUnit, (amount, unit) => {
      const read = back({ amount, unit }) as { amount: Fraction; unit: unknown };
      return read.amount.equals(amount) && read.unit === unit;
    }),
  );
});
