import { err, ok } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity, toBase } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, type Calculation } from './calculation.ts';

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
    if (fault !== undefined) return err(fault);
    const unit = unitNamed(density.unit.name.startsWith('lb') ? 'lb' : 'kg', 'mass');
    const weight = convert(makeQuantity(toBase(volume).mul(toBase(density)), unitNamed('kg', 'mass')), unit);
    return ok({
      results: [exactly('weight', weight.amount, unit)],
      working: `${printQuantity(volume)} × ${printQuantity(density)} = ${printQuantity(weight)}`,
    });
  },
};
