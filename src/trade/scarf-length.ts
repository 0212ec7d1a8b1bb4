import { err, ok } from '../fault/fault.ts';
import { makeQuantity, printQuantity } from '../quantity/quantity.ts';
import { printNumber } from '../quantity/rational.ts';
import { exactly, firstNotPositive, outOfRange, type Calculation } from './calculation.ts';
import { readRatio } from './ratio.ts';

export const scarfLength: Calculation = {
  name: 'scarf-length',
  title: 'Length of a scarf for a thickness',
  inputs: [
    { name: 'thickness', dimension: 'length', required: true, about: 'thickness of the piece' },
    { name: 'ratio', dimension: 'text', required: true, about: 'length to thickness, as in 12:1' },
  ],
  source:
    'geometry: length = thickness × ratio; the ratio is the procedure’s own (12:1 in wood is common practice, from memory)',
  range: 'thickness above zero; a ratio of 1:1 or longer',
  caution: 'The ratio comes from the kit’s manual. Grain must not run out across the joint.',
  example: { thickness: '22 mm', ratio: '12:1' },
  compute: (given) => {
    const thickness = given.quantity('thickness');
    const fault = firstNotPositive({ thickness });
    if (fault !== undefined) return err(fault);
    const ratio = readRatio(given.text('ratio'));
    if (!ratio.ok) return ratio;
    const [long, short] = ratio.value;
    if (long === undefined || short === undefined || ratio.value.length > 2 || long.compare(short) < 0)
      return err(
        outOfRange('a scarf is at least as long as it is thick', 'write the ratio as length to thickness, as in 12:1'),
      );
    const slope = long.div(short);
    const length = makeQuantity(thickness.amount.mul(slope), thickness.unit);
    return ok({
      results: [exactly('length', length.amount, length.unit)],
      working: `${printNumber(slope)} × ${printQuantity(thickness)} = ${printQuantity(length)}`,
    });
  },
};
