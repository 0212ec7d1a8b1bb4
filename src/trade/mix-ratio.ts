import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity } from '../quantity/quantity.ts';
import { printNumber } from '../quantity/rational.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, wrongInput, type Calculation } from './calculation.ts';
import { ratioCaution, parts, ratioInput, readRatio, toleranceInput } from './ratio.ts';

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
  caution: ratioCaution,
  example: { base: '104.2 g', other: '45.1 g', ratio: '100:44', tolerance: '2 %' },
  compute: (given) => {
    const [base, other] = [given.quantity('base'), given.quantity('other')];
    const fault = firstNotPositive({ base, other });
    if (fault !== undefined) return err(fault);
    if (base.unit.dimension !== other.unit.dimension)
      return err(
        wrongInput('other', 'one part is by weight, the other by volume', 'give both by weight or both by volume'),
      );
    const shares = readRatio(given.text('ratio'));
    if (!shares.ok) return shares;
    const [first, second] = shares.value;
    if (first === undefined || second === undefined || shares.value.length > 2)
      return err(wrongInput('ratio', 'this compares two parts', 'give a ratio of two parts, as in 100:44'));
    const got = convert(other, base.unit).amount.div(base.amount);
    const off = got.mul(first).div(second).sub(1).mul(hundred);
    const tolerance = given.maybe('tolerance');
    const outside = tolerance !== undefined && off.abs().compare(tolerance.amount) > 0;
    const share = makeQuantity(got.mul(first), unitNamed('count'));
    return ok({
      results: [exactly('off', off, unitNamed('%')), exactly('share', share.amount, share.unit)],
      working: `${printQuantity(other)} / ${printQuantity(base)} × ${printNumber(first)} = ${printQuantity(share)} to ${printNumber(first)}; off ${printQuantity(makeQuantity(off, unitNamed('%')))}`,
      warnings: outside ? ['The ratio lies outside the tolerance: discard the cup.'] : [],
    });
  },
};
