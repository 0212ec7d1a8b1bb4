import Fraction from 'fraction.js';
import { err, ok } from '../fault/fault.ts';
import { convert, makeQuantity, plus, printQuantity, scale } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, type Calculation } from './calculation.ts';

const oneAndAHalf = new Fraction(3, 2);
/** Solid rivets are sold in lengths of sixteenths of an inch. */
const sixteenths = new Fraction(16);

export const rivetLength: Calculation = {
  name: 'rivet-length',
  title: 'Length of a solid rivet before it is driven',
  inputs: [
    { name: 'grip', dimension: 'length', required: true, about: 'total thickness of what is riveted' },
    { name: 'diameter', dimension: 'length', required: true, about: 'diameter of the shank' },
  ],
  source:
    'L = grip + 1.5 × diameter: FAA-H-8083-31 chapter 4, Installation of Rivets; Navy training manual 14018, figure 13-43',
  range: 'solid rivets with a protruding or flush head; grip and diameter above zero',
  caution:
    'The allowance forms a standard shop head only. The kit’s manual wins; try it on scrap of the same thickness.',
  example: { grip: '0.064 in', diameter: '1/8 in' },
  compute: (given) => {
    const [grip, diameter] = [given.quantity('grip'), given.quantity('diameter')];
    const fault = firstNotPositive({ grip, diameter });
    if (fault !== undefined) return err(fault);
    const length = plus(grip, scale(diameter, oneAndAHalf));
    const inches = convert(length, unitNamed('in')).amount;
    const stock = makeQuantity(inches.mul(sixteenths).ceil().div(sixteenths), unitNamed('in'));
    return ok({
      results: [exactly('length', length.amount, length.unit), exactly('next-sixteenth', stock.amount, stock.unit)],
      working: `${printQuantity(grip)} + 1.5 × ${printQuantity(diameter)} = ${printQuantity(length)}; next 1/16 in up: ${printQuantity(stock)}`,
    });
  },
};
