import Fraction from 'fraction.js';
import { unitNamed, type Dimension, type Unit } from './units.ts';

/*
 * Exact values as plain JSON and back, for what a program keeps for itself between two runs. `JSON.stringify(value, toPlain)`
 * and `JSON.parse(text, fromPlain)`: a fraction and a unit come back as what they were, everything else as JSON has it.
 */

const mark = '$';

const isUnit = (value: object): value is Unit => 'dimension' in value && 'factor' in value && 'name' in value;

/** A replacer for `JSON.stringify`. */
export const toPlain = (_key: string, value: unknown): unknown => {
  if (typeof value !== 'object' || value === null) return value;
  if (value instanceof Fraction) return { [mark]: `${value.s < 0n ? '-' : ''}${value.n}/${value.d}` };
  return isUnit(value) ? { [mark]: value.name, of: value.dimension } : value;
};

const fractionOf = (text: string): Fraction => {
  const [over = '', under = ''] = text.split('/');
  return new Fraction(BigInt(over), BigInt(under));
};

/** A reviver for `JSON.parse`. A unit that is not in the table is a bug: the text was not made by this program. */
export const fromPlain = (_key: string, value: unknown): unknown => {
  if (typeof value !== 'object' || value === null || !(mark in value)) return value;
  const text = String(value[mark]);
  return 'of' in value ? unitNamed(text, String(value.of) as Dimension) : fractionOf(text);
};
