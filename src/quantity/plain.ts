import Fraction from 'fraction.js';
import { unitNamed, type Dimension, type Unit } from './units.ts';

/*
 * Exact values as plain JSON and back, for what a program keeps for itself between two runs. `JSON.stringify(value, toPlain)`
 * and `JSON.parse(text, fromPlain)`: a fraction and a unit come back as they were, everything else as JSON has it. An object whose keys a person
 * chose may hold the very key that marks a fraction or a unit, so it must be laid out as a list first.
 */

const mark = '$';

const isUnit = (value: object): value is Unit =>
  'dimension' in value && 'factor' in value && value.factor instanceof Fraction && 'name' in value;

/** A replacer for `JSON.stringify`. */
export const toPlainValue = (_key: string, value: unknown): unknown => {
  if (typeof value !== 'object' || value === null) return value;
  if (value instanceof Fraction) return { [mark]: `${value.s < 0n ? '-' : ''}${value.n}/${value.d}` };
  if (isUnit(value)) return { [mark]: value.name, of: value.dimension };
  return Object.hasOwn(value, mark) ? { [mark]: Object.entries(value) } : value;
};

const fractionOf = (text: string): Fraction => {
  const [over = '', under = ''] = text.split('/');
  return new Fraction(BigInt(over), BigInt(under));
};

/** A reviver for `JSON.parse`. A unit that is not in the table is a bug: the text was not made by this program. */
export const fromPlainValue = (_key: string, value: unknown): unknown => {
  if (typeof value !== 'object' || value === null || !Object.hasOwn(value, mark)) return value;
  const marked = value as Readonly<Record<typeof mark, unknown>>;
  if (Array.isArray(marked[mark])) return Object.fromEntries(marked[mark] as (readonly [string, unknown])[]);
  const text = String(marked[mark]);
  return 'of' in value ? unitNamed(text, String(value.of) as Dimension) : fractionOf(text);
};
