import { err, ok } from '../fault/fault.ts';
import { makeQuantity, printQuantity, toBase } from '../quantity/quantity.ts';
import { findUnit, unitNamed, type Unit } from '../quantity/units.ts';
import { exactly, firstNotPositive, type Calculation } from './calculation.ts';
import { fuelCaution, fuelSource } from './fuel-rule.ts';

const hourly = (unit: Unit): Unit => findUnit(`${unit.name}/h`, 'flow') ?? unitNamed('L/h');

export const fuelFlow: Calculation = {
  name: 'fuel-flow',
  title: 'Flow from a volume and a time, and what share of the consumption it is',
  inputs: [
    { name: 'volume', dimension: 'volume', required: true, about: 'volume that was caught' },
    { name: 'time', dimension: 'time', required: true, about: 'how long it took' },
    { name: 'consumption', dimension: 'flow', required: false, about: 'consumption at take-off power' },
  ],
  source: fuelSource,
  range: 'all above zero',
  caution: fuelCaution,
  example: { volume: '1 L', time: '131 s', consumption: '21 L/h' },
  compute: (given) => {
    const [volume, time, consumption] = [given.quantity('volume'), given.quantity('time'), given.maybe('consumption')];
    const fault = firstNotPositive({ volume, time, ...(consumption === undefined ? {} : { consumption }) });
    if (fault !== undefined) return err(fault);
    const flow = toBase(volume).div(toBase(time));
    const unit = consumption?.unit ?? hourly(volume.unit);
    const shown = makeQuantity(flow.div(unit.factor), unit);
    const share =
      consumption === undefined ? undefined : makeQuantity(flow.div(toBase(consumption)).mul(100), unitNamed('%'));
    const of =
      share === undefined || consumption === undefined
        ? ''
        : `; ${printQuantity(share)} of ${printQuantity(consumption)}`;
    return ok({
      results: [
        exactly('flow', shown.amount, unit),
        ...(share === undefined ? [] : [exactly('share', share.amount, share.unit)]),
      ],
      working: `${printQuantity(volume)} / ${printQuantity(time)} = ${printQuantity(shown)}${of}`,
    });
  },
};
