import Fraction from 'fraction.js';
import { bad, good } from '../fault/fault.ts';
import { makeQuantity, printQuantity, quantity, type Quantity } from '../quantity/quantity.ts';
import { printNumber } from '../quantity/rational.ts';
import { exactly, firstNotPositive, wrongInput, type Calculation, type Result } from './calculation.ts';
import { caution, parts, ratioInput, readRatio, toleranceInput } from './ratio.ts';

/** How much of a part belongs to an amount of the base, and the band about it. */
interface MixTarget {
  readonly target: Quantity;
  readonly low: Quantity;
  readonly high: Quantity;
}

const one = new Fraction(1);

/**
 * Target = base × share / share of the base; band = target ± tolerance of that target, ends in. Exact.
 * `tolerance` in `%`; the shares in the same kind of parts (by weight, or by volume).
 */
const mixTarget = (base: Quantity, baseShare: Fraction, share: Fraction, tolerance: Quantity): MixTarget => {
  const target = base.amount.mul(share).div(baseShare);
  const part = tolerance.amount.mul(tolerance.unit.factor);
  const at = (by: Fraction): Quantity => makeQuantity(target.mul(by), base.unit);
  return { target: at(one), low: at(one.sub(part)), high: at(one.add(part)) };
};

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
