import Fraction from 'fraction.js';
import { bad, good, type Outcome } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity, scale, type Quantity } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, firstNotPositive, type Answer, type Calculation, type InputSpec } from './calculation.ts';

const diameterInput: InputSpec = {
  name: 'diameter',
  dimension: 'length',
  required: true,
  about: 'diameter of the rivet’s shank',
};

/** Multiples of the diameter, in tenths, as named results. */
const multiples = (diameter: Quantity, tenths: Readonly<Record<string, number>>): Outcome<Answer> => {
  const fault = firstNotPositive({ diameter });
  if (fault !== undefined) return bad(fault);
  const results = Object.entries(tenths).map(([name, by]) => {
    const q = scale(diameter, new Fraction(by, 10));
    return exactly(name, q.amount, q.unit);
  });
  const working = results.map(
    ({ name, quantity }) =>
      `${name} ${(tenths[name] ?? 0) / 10} × ${printQuantity(diameter)} = ${printQuantity(quantity)}`,
  );
  return good({ results, working: working.join('; ') });
};

export const shopHead: Calculation = {
  name: 'shop-head',
  title: 'Shop head of a solid rivet: width and height',
  inputs: [diameterInput],
  source:
    'width 1.5 D, height 0.5 D: public USAAF structural repair text, section 14; least width 1.3 D, least height 0.4 D: the pattern of MIL-R-47196A rows for 3/32 and 1/8, quoted second-hand',
  range: 'solid rivets with a driven flat shop head',
  caution:
    'These are two rules, the ideal head and the military least; say which one a check applies. The greatest height is not given here.',
  example: { diameter: '1/8 in' },
  compute: (given) =>
    multiples(given.quantity('diameter'), { width: 15, height: 5, 'least-width': 13, 'least-height': 4 }),
};

export const edgeDistance: Calculation = {
  name: 'edge-distance',
  title: 'Least distance from the hole’s centre to the edge',
  inputs: [
    diameterInput,
    {
      name: 'head',
      dimension: 'text',
      required: false,
      about: 'protruding or countersunk',
      choices: ['protruding', 'countersunk'],
    },
  ],
  source:
    '2 D: TM 10-5410-229-13&P page 5-4; countersunk 2.5 D: a public study text, the regulation’s own page not seen',
  range: 'solid rivets in sheet metal',
  caution:
    'Measured from the centre of the hole. The kit’s drawing wins. After drilling out and going up a size, decide it anew with the larger diameter.',
  example: { diameter: '1/8 in', head: 'protruding' },
  compute: (given) =>
    multiples(given.quantity('diameter'), { edge: given.maybeText('head') === 'countersunk' ? 25 : 20 }),
};

export const rivetPitch: Calculation = {
  name: 'rivet-pitch',
  title: 'Distance between rivets, and between rows',
  inputs: [diameterInput],
  source:
    'never under 3 D, seldom under 4 D or over 8 D: Navy training manual 14018; rows 2.5 D: TM 10-5410-229-13&P page 5-4',
  range: 'solid rivets in sheet metal',
  caution: 'The kit’s drawing wins.',
  example: { diameter: '1/8 in' },
  compute: (given) =>
    multiples(given.quantity('diameter'), { least: 30, 'usual-from': 40, 'usual-to': 80, 'least-between-rows': 25 }),
};

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
    if (fault !== undefined) return bad(fault);
    const triple = scale(thickness, new Fraction(3));
    const inches = convert(triple, unitNamed('in')).amount;
    const size = makeQuantity(inches.mul(thirtySeconds).ceil().div(thirtySeconds), unitNamed('in'));
    return good({
      results: [exactly('size', size.amount, size.unit), exactly('three-times', triple.amount, triple.unit)],
      working: `3 × ${printQuantity(thickness)} = ${printQuantity(triple)}; next 1/32 in up: ${printQuantity(size)}`,
    });
  },
};
