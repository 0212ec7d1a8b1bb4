import { err, ok } from '../fault/fault.ts';
import { expandedSquared, readUncertainty } from '../quantity/decision.ts';
import { convert, minus, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { fromFloat, printNumber, toNumber } from '../quantity/rational.ts';
import { differenceUnit, unitNamed } from '../quantity/units.ts';
import { computed, type Calculation } from './calculation.ts';
import { normalBelow } from './normal.ts';
import { readLimits } from './plain-limits.ts';

export const conformanceProbability: Calculation = {
  name: 'conformance-probability',
  title: 'How likely the true value lies within the limits',
  inputs: [
    { name: 'value', dimension: 'any', required: true, about: 'the value as read' },
    { name: 'limits', dimension: 'text', required: true, about: 'as in 24.9 to 25.1 mm' },
    { name: 'uncertainty', dimension: 'text', required: true, about: 'U (k = 2) of the tool, as in 0.04 mm' },
  ],
  source:
    'pc = Φ((TU − y)/u) − Φ((TL − y)/u), u = U/2: the normal form of JCGM 106, from memory; zones as in ILAC-G8:09/2019 4.2',
  range: 'U above zero; errors normally distributed',
  caution: 'It informs; the verdict follows the procedure’s own rule. At a limit itself it is 50 %.',
  example: { value: '24.94 mm', limits: '24.9 to 25.1 mm', uncertainty: '0.04 mm' },
  compute: (given) => {
    const value = given.quantity('value');
    const limits = readLimits(given.text('limits'), value.unit);
    if (!limits.ok) return limits;
    const fixed = limits.value;
    const read = readUncertainty({ uncertainty: given.text('uncertainty') }, value.unit);
    if (!read.ok) return err({ ...read.fault, kind: 'usage', where: 'uncertainty' });
    if (read.value === undefined) throw new RangeError('uncertainty without a value');
    const unit = differenceUnit(value.unit);
    const u = Math.sqrt(toNumber(expandedSquared(read.value, value, unit))) / 2;
    const far = (end: Quantity): number => toNumber(convert(minus(end, value), unit).amount) / u;
    const above = fixed.high === undefined ? 0 : normalBelow(-far(fixed.high.at));
    const below = fixed.low === undefined ? 0 : normalBelow(far(fixed.low.at));
    const probability = computed('probability', 100 * Math.max(0, 1 - above - below), unitNamed('%'));
    return ok({
      results: [probability],
      working: `u = ${printNumber(fromFloat(u))} ${unit.name}; within ${fixed.text}: ${printQuantity(probability.quantity)}`,
    });
  },
};
