import { err, ok } from '../fault/fault.ts';
import { makeQuantity, printQuantity, toBase } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, outOfRange, type Calculation } from './calculation.ts';

export const leakRate: Calculation = {
  name: 'leak-rate',
  title: 'Leak of a water-filled bay from the fall of its level',
  inputs: [
    { name: 'area', dimension: 'area', required: true, about: 'area of the water’s surface' },
    { name: 'drop', dimension: 'length', required: true, about: 'fall of the level' },
    { name: 'time', dimension: 'time', required: true, about: 'how long it took' },
  ],
  source: 'geometry: volume = area × fall; leak = volume / time',
  range: 'area and time above zero, the fall not negative; a bay with upright sides at the waterline',
  caution: 'Dry wood drinks: let it soak, then measure. Evaporation counts as a leak here.',
  example: { area: '0.62 m²', drop: '3 mm', time: '1 h' },
  compute: (given) => {
    const [area, drop, time] = [given.quantity('area'), given.quantity('drop'), given.quantity('time')];
    const fault = firstNotPositive({ area, time });
    if (fault !== undefined) return err(fault);
    if (drop.amount.s < 0n) return err(outOfRange('the level rose', 'check which mark is which'));
    const unit = unitNamed('L/h');
    const leak = makeQuantity(toBase(area).mul(toBase(drop)).div(toBase(time)).div(unit.factor), unit);
    return ok({
      results: [exactly('leak', leak.amount, unit)],
      working: `${printQuantity(area)} × ${printQuantity(drop)} / ${printQuantity(time)} = ${printQuantity(leak)}`,
    });
  },
};
