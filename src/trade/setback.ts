import { ok } from '../fault/fault.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { toNumber } from '../quantity/rational.ts';
import {
  allowance,
  bendInputs,
  bent,
  bendCaution,
  example,
  factor,
  bendRange,
  readBend,
  setbackOf,
  bendShown,
  bendSource,
} from './bend.ts';
import type { Calculation } from './calculation.ts';

export const setback: Calculation = {
  name: 'setback',
  title: 'Mold line to tangent line of a bend',
  inputs: bendInputs,
  source: bendSource,
  range: bendRange,
  caution: bendCaution,
  example,
  compute: (given) => {
    const bend = readBend(given);
    if (!bend.ok) return bend;
    const square = bend.value.angle.equals(90);
    const [amount, k] = [setbackOf(bend.value), factor(bend.value)];
    const deduction = amount.mul(2).sub(allowance(bend.value));
    const { radius, thickness } = bend.value;
    return ok({
      results: [bent('setback', amount, bend.value, square), bent('deduction', deduction, bend.value, square)],
      working: `K ${toNumber(k).toFixed(5)} × (${printQuantity(radius)} + ${printQuantity(thickness)}) = ${bendShown(amount, bend.value)}; deduction 2 SB − BA = ${bendShown(deduction, bend.value)}`,
    });
  },
};
