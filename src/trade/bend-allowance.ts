import { ok } from '../fault/fault.ts';
import { printQuantity } from '../quantity/quantity.ts';
import {
  allowance,
  bendInputs,
  bent,
  bendCaution,
  example,
  bendRange,
  readBend,
  bendShown,
  bendSource,
} from './bend.ts';
import type { Calculation } from './calculation.ts';

export const bendAllowance: Calculation = {
  name: 'bend-allowance',
  title: 'Metal that goes into a bend',
  inputs: bendInputs,
  source: bendSource,
  range: bendRange,
  caution: bendCaution,
  example,
  compute: (given) => {
    const bend = readBend(given);
    if (!bend.ok) return bend;
    const amount = allowance(bend.value);
    const { radius, thickness, angle } = bend.value;
    return ok({
      results: [bent('allowance', amount, bend.value, true)],
      working: `(0.01743 × ${printQuantity(radius)} + 0.0078 × ${printQuantity(thickness)}) × ${angle.toString()} = ${bendShown(amount, bend.value)}`,
    });
  },
};
