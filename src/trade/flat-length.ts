import { err, ok } from '../fault/fault.ts';
import { convert } from '../quantity/quantity.ts';
import {
  allowance,
  bendInputs,
  bent,
  bendCaution,
  example,
  bendRange,
  readBend,
  setbackOf,
  bendShown,
  bendSource,
} from './bend.ts';
import { outOfRange, type Calculation } from './calculation.ts';

export const flatLength: Calculation = {
  name: 'flat-length',
  title: 'Flat length of a part with equal bends',
  inputs: [
    {
      name: 'leg',
      dimension: 'length',
      required: true,
      many: true,
      about: 'each side, measured to the mold lines, in order',
    },
    ...bendInputs,
  ],
  source: `flat = Σ legs − (2 SB − BA) for each bend. ${bendSource}`,
  range: `two legs or more, a bend between each two, all alike; ${bendRange}`,
  caution: bendCaution,
  example: { leg: '1.00 in; 2.00 in; 1.00 in', ...example },
  compute: (given) => {
    const bend = readBend(given);
    if (!bend.ok) return bend;
    const legs = given.list('leg').map(({ quantity }) => convert(quantity, bend.value.radius.unit).amount);
    if (legs.length < 2) return err(outOfRange('a bent part has two legs or more', 'give leg="1.00 in; 2.00 in"'));
    const [back, into] = [setbackOf(bend.value), allowance(bend.value)];
    const flats = legs.map((leg, index) => leg.sub(back.mul(index === 0 || index === legs.length - 1 ? 1 : 2)));
    const short = flats.find((flat) => flat.s < 0n);
    if (short !== undefined)
      return err(
        outOfRange(
          'a leg is shorter than its setbacks',
          'the bend does not fit on it; check legs, radius and thickness',
        ),
      );
    const square = bend.value.angle.equals(90);
    const total = flats.reduce((sum, flat) => sum.add(flat)).add(into.mul(legs.length - 1));
    return ok({
      results: [
        bent('flat-length', total, bend.value, square),
        ...flats.map((flat, index) => bent(`flat-${index + 1}`, flat, bend.value, square)),
      ],
      working: `flats ${flats.map((flat) => bendShown(flat, bend.value)).join(' + ')} + ${legs.length - 1} × ${bendShown(into, bend.value)} = ${bendShown(total, bend.value)}`,
    });
  },
};
