import Fraction from 'fraction.js';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { plainText, readNumber } from '../quantity/number.ts';

/** `100:44`: shares above zero, exact. */
export const readRatio = (text: string): Outcome<readonly Fraction[]> => {
  const fault = usage('input-wrong', `the ratio ${text.slice(0, 40)} cannot be read`, 'write it as in 100:44', 'ratio');
  const shares: Fraction[] = [];
  for (const part of plainText(text).split(':')) {
    const number = readNumber(part.trim(), 0);
    if (!number.ok || number.value.end !== part.trim().length || number.value.amount.compare(0) <= 0) return err(fault);
    shares.push(number.value.amount);
  }
  return shares.length > 1 && shares.length < 10 ? ok(shares) : err(fault);
};

export const parts = ['mass', 'volume'] as const;

export const ratioInput = {
  name: 'ratio',
  dimension: 'text',
  required: true,
  about: 'parts, the base first, as in 100:44',
} as const;

export const toleranceInput = {
  name: 'tolerance',
  dimension: 'percent',
  required: false,
  about: 'of each part’s own target, as in 2 %',
} as const;

export const ratioCaution =
  'Never change the ratio to change the cure (AC 43.13-1B, 1-5). Ratio and tolerance come from the data sheet; by weight and by volume are different ratios. Resin and hardener sensitise skin.';
