import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity, scale } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, type Calculation } from './calculation.ts';

const thirtySeconds = new Fraction(32);

export const rivetDiameter: Calculation = {
  name: 'rivet-diameter',
  title: 'Rivet diameter for a sheet',
  inputs: [{ name: 'thickness', dimension: 'length', required: true, about: 'thickness of the thickest sheet' }],
  source: '3 × thickness, the next size above: AC 43.13-1B 4-58g',
  range: 'solid rivets, sold in 1/32 in of diameter',
  caution: 'A rule of thumb for repairs; a kit names its rivets.',
  example: { thickness: '0.032 in' },
  compute: (given) => {
    const thickness = given.quantity('thickness');
    const fault = firstNotPositive({ thickness });
    if (fault !== undefined) return err(fault);
    const triple = scale(thickness, new Fraction(3));
    const inches = convert(triple, unitNamed('in')).amount;
    const size = makeQuantity(inches.mul(thirtySeconds).ceil().div(thirtySeconds), unitNamed('in'));
    return ok({
      results: [exactly('size', size.amount, size.unit), exactly('three-times', triple.amount, triple.unit)],
      working: `3 × ${printQuantity(thickness)} = ${printQuantity(triple)}; next 1/32 in up: ${printQuantity(size)}`,
    });
  },
};
