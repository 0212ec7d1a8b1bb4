import Fraction from 'fraction.js';
import type { Fault } from '../fault/fault.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { wrongInput } from './calculation.ts';

/** Rules in inches are divided by halving, down to sixty-fourths (common practice, no source). */
const finest = new Fraction(64);

const isFraction = (text: string): boolean => /[/⁄∕¼-¾⅐-⅞]/.test(text);

/** The fault of a fraction of an inch that no rule shows, such as 1/3 in: it was misread, or not read off a rule. */
export const ruledFault = (q: Quantity, key: string): Fault | undefined => {
  if (q.unit.name !== 'in' || !isFraction(q.text) || finest.mod(new Fraction(q.amount.d)).equals(0)) return undefined;
  const nearest = q.amount.mul(finest).round().div(finest);
  return wrongInput(
    key,
    `${key} is ${q.text.slice(0, 40)}, which is no mark on a rule: inches are halved, down to 1/64`,
    `read it again (the nearest mark is ${nearest.toFraction(true)} in), or write it as a decimal`,
  );
};
