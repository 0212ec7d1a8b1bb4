import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { makeQuantity, printQuantity, scale, toBase } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, type Calculation } from './calculation.ts';
import { fuelCaution, needed, fuelSource } from './fuel-rule.ts';

export const fuelFlowTime: Calculation = {
  name: 'fuel-flow-time',
  title: 'The longest that a measured volume of fuel may take',
  inputs: [
    { name: 'consumption', dimension: 'flow', required: true, about: 'consumption at take-off power' },
    { name: 'feed', dimension: 'text', required: true, about: 'gravity or pump', choices: Object.keys(needed) },
    { name: 'volume', dimension: 'volume', required: true, about: 'volume that is caught' },
  ],
  source: fuelSource,
  range: 'consumption and volume above zero',
  caution: fuelCaution,
  example: { consumption: '8 US gal/h', feed: 'gravity', volume: '1 US gal' },
  compute: (given) => {
    const [consumption, volume] = [given.quantity('consumption'), given.quantity('volume')];
    const fault = firstNotPositive({ consumption, volume });
    if (fault !== undefined) return err(fault);
    const percent = needed[given.text('feed')] ?? 150;
    const flow = scale(consumption, new Fraction(percent, 100));
    const seconds = makeQuantity(toBase(volume).div(toBase(flow)), unitNamed('s'));
    return ok({
      results: [exactly('time', seconds.amount, seconds.unit), exactly('flow', flow.amount, flow.unit)],
      working: `${percent} % of ${printQuantity(consumption)} = ${printQuantity(flow)}; ${printQuantity(volume)} in at most ${printQuantity(seconds)}`,
    });
  },
};
