import Fraction from 'fraction.js';
import { bad, good, usage, type Outcome } from '../fault/fault.ts';
import { plainText, readNumber } from '../quantity/number.ts';
import { convert, makeQuantity, printQuantity, quantity, type Quantity } from '../quantity/quantity.ts';
import { printNumber } from '../quantity/rational.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, wrongInput, type Calculation, type Result } from './calculation.ts';

/** How much of a part belongs to an amount of the base, and the band about it. */
export interface MixTarget {
  readonly target: Quantity;
  readonly low: Quantity;
  readonly high: Quantity;
}

const one = new Fraction(1);

/**
 * Target = base × share / share of the base; band = target ± tolerance of that target, ends in. Exact.
 * `tolerance` in `%`; the shares in the same kind of parts (by weight, or by volume).
 */
export const mixTarget = (base: Quantity, baseShare: Fraction, share: Fraction, tolerance: Quantity): MixTarget => {
  const target = base.amount.mul(share).div(baseShare);
  const part = tolerance.amount.mul(tolerance.unit.factor);
  const at = (by: Fraction): Quantity => makeQuantity(target.mul(by), base.unit);
  return { target: at(one), low: at(one.sub(part)), high: at(one.add(part)) };
};

/** `100:44`: shares above zero, exact. */
export const readRatio = (text: string): Outcome<readonly Fraction[]> => {
  const fault = usage('input-wrong', `the ratio ${text.slice(0, 40)} cannot be read`, 'write it as in 100:44', 'ratio');
  const shares: Fraction[] = [];
  for (const part of plainText(text).split(':')) {
    const number = readNumber(part.trim(), 0);
    if (!number.ok || number.value.end !== part.trim().length || number.value.amount.compare(0) <= 0) return bad(fault);
    shares.push(number.value.amount);
  }
  return shares.length > 1 && shares.length < 10 ? good(shares) : bad(fault);
};

const parts = ['mass', 'volume'] as const;
const ratioInput = {
  name: 'ratio',
  dimension: 'text',
  required: true,
  about: 'parts, the base first, as in 100:44',
} as const;
const toleranceInput = {
  name: 'tolerance',
  dimension: 'percent',
  required: false,
  about: 'of each part’s own target, as in 2 %',
} as const;
const caution =
  'Never change the ratio to change the cure (AC 43.13-1B, 1-5). Ratio and tolerance come from the data sheet; by weight and by volume are different ratios. Resin and hardener sensitise skin.';

const ofPart = (name: string, index: number, count: number): string => (count === 2 ? name : `${name}-${index + 1}`);

export const mix: Calculation = {
  name: 'mix',
  title: 'How much hardener belongs to the resin, and the band about it',
  inputs: [
    { name: 'base', dimension: parts, required: true, about: 'amount of the first part' },
    ratioInput,
    toleranceInput,
  ],
  source: 'arithmetic: target = base × share; the band is target ± tolerance of that target, ends in',
  range: 'base above zero; two parts or more, all by weight or all by volume',
  caution,
  example: { base: '100 g', ratio: '100:44', tolerance: '2 %' },
  compute: (given) => {
    const base = given.quantity('base');
    const fault = firstNotPositive({ base });
    if (fault !== undefined) return bad(fault);
    const shares = readRatio(given.text('ratio'));
    if (!shares.ok) return shares;
    const [first, ...others] = shares.value;
    if (first === undefined) throw new RangeError('a ratio without parts');
    const tolerance = given.maybe('tolerance');
    if (tolerance !== undefined && (tolerance.amount.s < 0n || tolerance.amount.compare(100) >= 0))
      return bad(wrongInput('tolerance', `a tolerance of ${tolerance.text} is none`, 'give it between 0 % and 100 %'));
    const targets = others.map((share) => mixTarget(base, first, share, tolerance ?? quantity('0 %')));
    const total = targets.reduce((sum, { target }) => sum.add(target.amount), base.amount);
    const named = targets.flatMap(({ target, low, high }, index): Result[] => {
      const name = (text: string): string => ofPart(text, index + 1, shares.value.length);
      const band =
        tolerance === undefined
          ? []
          : [exactly(name('low'), low.amount, low.unit), exactly(name('high'), high.amount, high.unit)];
      return [exactly(name('target'), target.amount, target.unit), ...band];
    });
    const lines = targets.map(({ target, low, high }, index) => {
      const band =
        tolerance === undefined
          ? ''
          : `; ± ${printQuantity(tolerance)}: ${printQuantity(low)} to ${printQuantity(high)}`;
      return `${printQuantity(base)} × ${printNumber(others[index] ?? one)}/${printNumber(first)} = ${printQuantity(target)}${band}`;
    });
    return good({ results: [...named, exactly('total', total, base.unit)], working: lines.join('; ') });
  },
};

const hundred = new Fraction(100);

export const mixRatio: Calculation = {
  name: 'mix-ratio',
  title: 'The ratio that was weighed, and how far off it is',
  inputs: [
    { name: 'base', dimension: parts, required: true, about: 'amount of the first part, as weighed' },
    { name: 'other', dimension: parts, required: true, about: 'amount of the second part, as weighed' },
    ratioInput,
    toleranceInput,
  ],
  source: 'arithmetic: off = other / (base × share) − 1',
  range: 'two parts, both above zero, both by weight or both by volume',
  caution,
  example: { base: '104.2 g', other: '45.1 g', ratio: '100:44', tolerance: '2 %' },
  compute: (given) => {
    const [base, other] = [given.quantity('base'), given.quantity('other')];
    const fault = firstNotPositive({ base, other });
    if (fault !== undefined) return bad(fault);
    if (base.unit.dimension !== other.unit.dimension)
      return bad(
        wrongInput('other', 'one part is by weight, the other by volume', 'give both by weight or both by volume'),
      );
    const shares = readRatio(given.text('ratio'));
    if (!shares.ok) return shares;
    const [first, second] = shares.value;
    if (first === undefined || second === undefined || shares.value.length > 2)
      return bad(wrongInput('ratio', 'this compares two parts', 'give a ratio of two parts, as in 100:44'));
    const got = convert(other, base.unit).amount.div(base.amount);
    const off = got.mul(first).div(second).sub(1).mul(hundred);
    const tolerance = given.maybe('tolerance');
    const outside = tolerance !== undefined && off.abs().compare(tolerance.amount) > 0;
    const share = makeQuantity(got.mul(first), unitNamed('count'));
    return good({
      results: [exactly('off', off, unitNamed('%')), exactly('share', share.amount, share.unit)],
      working: `${printQuantity(other)} / ${printQuantity(base)} × ${printNumber(first)} = ${printQuantity(share)} to ${printNumber(first)}; off ${printQuantity(makeQuantity(off, unitNamed('%')))}`,
      warnings: outside ? ['The ratio lies outside the tolerance: discard the cup.'] : [],
    });
  },
};
