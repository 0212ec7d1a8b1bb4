import Fraction from 'fraction.js';
import { bad, good } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity, scale, toBase } from '../quantity/quantity.ts';
import { findUnit, unitNamed, type Unit } from '../quantity/units.ts';
import { exactly, firstNotPositive, type Calculation } from './calculation.ts';

/** Percent of the take-off consumption that the system must be able to give. */
const needed: Readonly<Record<string, number>> = { gravity: 150, pump: 125 };

const source =
  'gravity 150 %, pump 125 % of the consumption at take-off: 14 CFR 23.955 (b), (c), edition of 2014, since withdrawn; the rest is arithmetic';
const caution =
  'Historic rule; the kit’s own limit wins. Nose-high attitude, tank near unusable. Outdoors, earthed, extinguisher at hand, no ignition source.';

const hourly = (unit: Unit): Unit => findUnit(`${unit.name}/h`, 'flow') ?? unitNamed('L/h');

export const fuelFlowTime: Calculation = {
  name: 'fuel-flow-time',
  title: 'The longest that a measured volume of fuel may take',
  inputs: [
    { name: 'consumption', dimension: 'flow', required: true, about: 'consumption at take-off power' },
    { name: 'feed', dimension: 'text', required: true, about: 'gravity or pump', choices: Object.keys(needed) },
    { name: 'volume', dimension: 'volume', required: true, about: 'volume that is caught' },
  ],
  source,
  range: 'consumption and volume above zero',
  caution,
  example: { consumption: '8 US gal/h', feed: 'gravity', volume: '1 US gal' },
  compute: (given) => {
    const [consumption, volume] = [given.quantity('consumption'), given.quantity('volume')];
    const fault = firstNotPositive({ consumption, volume });
    if (fault !== undefined) return bad(fault);
    const percent = needed[given.text('feed')] ?? 150;
    const flow = scale(consumption, new Fraction(percent, 100));
    const seconds = makeQuantity(toBase(volume).div(toBase(flow)), unitNamed('s'));
    return good({
      results: [exactly('time', seconds.amount, seconds.unit), exactly('flow', flow.amount, flow.unit)],
      working: `${percent} % of ${printQuantity(consumption)} = ${printQuantity(flow)}; ${printQuantity(volume)} in at most ${printQuantity(seconds)}`,
    });
  },
};

export const fuelFlow: Calculation = {
  name: 'fuel-flow',
  title: 'Flow from a volume and a time, and what share of the consumption it is',
  inputs: [
    { name: 'volume', dimension: 'volume', required: true, about: 'volume that was caught' },
    { name: 'time', dimension: 'time', required: true, about: 'how long it took' },
    { name: 'consumption', dimension: 'flow', required: false, about: 'consumption at take-off power' },
  ],
  source,
  range: 'all above zero',
  caution,
  example: { volume: '1 L', time: '131 s', consumption: '21 L/h' },
  compute: (given) => {
    const [volume, time, consumption] = [given.quantity('volume'), given.quantity('time'), given.maybe('consumption')];
    const fault = firstNotPositive({ volume, time, ...(consumption === undefined ? {} : { consumption }) });
    if (fault !== undefined) return bad(fault);
    const flow = toBase(volume).div(toBase(time));
    const unit = consumption?.unit ?? hourly(volume.unit);
    const shown = makeQuantity(flow.div(unit.factor), unit);
    const share =
      consumption === undefined ? undefined : makeQuantity(flow.div(toBase(consumption)).mul(100), unitNamed('%'));
    const of =
      share === undefined || consumption === undefined
        ? ''
        : `; ${printQuantity(share)} of ${printQuantity(consumption)}`;
    return good({
      results: [
        exactly('flow', shown.amount, unit),
        ...(share === undefined ? [] : [exactly('share', share.amount, share.unit)]),
      ],
      working: `${printQuantity(volume)} / ${printQuantity(time)} = ${printQuantity(shown)}${of}`,
    });
  },
};

export const fluidWeight: Calculation = {
  name: 'fluid-weight',
  title: 'Weight of a volume of fuel or oil',
  inputs: [
    { name: 'volume', dimension: 'volume', required: true, about: 'volume' },
    { name: 'density', dimension: 'density', required: true, about: 'as in 6 lb/US gal or 0.72 kg/L' },
  ],
  source: 'arithmetic; AC 43.13-1B chapter 10 takes 6 lb for a US gallon of fuel and 7.5 lb for one of oil',
  range: 'both above zero',
  caution: 'Density changes with grade and temperature; weigh where it matters.',
  example: { volume: '40 US gal', density: '6 lb/US gal' },
  compute: (given) => {
    const [volume, density] = [given.quantity('volume'), given.quantity('density')];
    const fault = firstNotPositive({ volume, density });
    if (fault !== undefined) return bad(fault);
    const unit = unitNamed(density.unit.name.startsWith('lb') ? 'lb' : 'kg', 'mass');
    const weight = convert(makeQuantity(toBase(volume).mul(toBase(density)), unitNamed('kg', 'mass')), unit);
    return good({
      results: [exactly('weight', weight.amount, unit)],
      working: `${printQuantity(volume)} × ${printQuantity(density)} = ${printQuantity(weight)}`,
    });
  },
};
