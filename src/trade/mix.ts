import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { printQuantity, quantity } from '../quantity/quantity.ts';
import { printNumber } from '../quantity/rational.ts';
import { exactly, firstNotPositive, wrongInput, type Calculation, type NamedResult } from './calculation.ts';
import { mixTarget } from './mix-target.ts';
import { ratioCaution, parts, ratioInput, readRatio, toleranceInput } from './ratio.ts';

const one = new Fraction(1);

const ofPart = (name: string, index: number, count: number): string => (count === 2 ? name : `${name}-${index + 1}`);

export const mixAmounts: Calculation = {
  name: 'mix',
  title: 'How much hardener belongs to the resin, and the band about it',
  inputs: [
    { name: 'base', dimension: parts, required: true, about: 'amount of the first part' },
    ratioInput,
    toleranceInput,
  ],
  source: 'arithmetic: target = base × share; the band is target ± tolerance of that target, ends in',
  range: 'base above zero; two parts or more, all by weight or all by volume',
  caution: ratioCaution,
  example: { base: '100 g', ratio: '100:44', tolerance: '2 %' },
  compute: (given) => {
    const base = given.quantity('base');
    const fault = firstNotPositive({ base });
    if (fault !== undefined) return err(fault);
    const shares = readRatio(given.text('ratio'));
    if (!shares.ok) return shares;
    const [first, ...others] = shares.value;
    if (first === undefined) throw new RangeError('a ratio without parts');
    const tolerance = given.maybe('tolerance');
    if (tolerance !== undefined && (tolerance.amount.s < 0n || tolerance.amount.compare(100) >= 0))
      return err(wrongInput('tolerance', `a tolerance of ${tolerance.text} is none`, 'give it between 0 % and 100 %'));
    const targets = others.map((share) => mixTarget(base, first, share, tolerance ?? quantity('0 %')));
    const total = targets.reduce((sum, { target }) => sum.add(target.amount), base.amount);
    const named = targets.flatMap(({ target, low, high }, index): NamedResult[] => {
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
    return ok({ results: [...named, exactly('total', total, base.unit)], working: lines.join('; ') });
  },
};
