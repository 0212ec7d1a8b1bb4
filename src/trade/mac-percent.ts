import type Fraction from 'fraction.js';
import { err, ok, type Outcome } from '../fault/fault.ts';
import { convert, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, isPositive, outOfRange, type Calculation } from './calculation.ts';

/** A place behind (or ahead of, negative) the leading edge of the mean chord, in percent of the chord. */
export const percentOfChord = (centre: Quantity, lemac: Quantity, mac: Quantity): Outcome<Fraction> => {
  if (!isPositive(mac))
    return err(outOfRange('the mean chord is not above zero', 'give the length of the mean aerodynamic chord'));
  const [start, length] = [convert(lemac, centre.unit).amount, convert(mac, centre.unit).amount];
  return ok(centre.amount.sub(start).div(length).mul(100));
};

export const macPercent: Calculation = {
  name: 'mac-percent',
  title: 'Centre of gravity as its place on the mean chord',
  inputs: [
    { name: 'centre', dimension: 'length', required: true, about: 'centre of gravity, from the datum' },
    { name: 'lemac', dimension: 'length', required: true, about: 'leading edge of the mean chord, from the datum' },
    { name: 'mac', dimension: 'length', required: true, about: 'length of the mean chord' },
  ],
  source: 'geometry: %MAC = (centre − LEMAC) / MAC × 100',
  range: 'a mean chord above zero; negative ahead of its leading edge',
  caution: 'Limits are the designer’s; never round into them.',
  example: { centre: '2.7 m', lemac: '2.18 m', mac: '1.42 m' },
  compute: (given) => {
    const [centre, lemac, mac] = [given.quantity('centre'), given.quantity('lemac'), given.quantity('mac')];
    const share = percentOfChord(centre, lemac, mac);
    if (!share.ok) return share;
    const result = exactly('mac-percent', share.value, unitNamed('%'));
    return ok({
      results: [result],
      working: `(${printQuantity(centre)} - ${printQuantity(lemac)}) / ${printQuantity(mac)} = ${printQuantity(result.quantity)}`,
    });
  },
};
