import type Fraction from 'fraction.js';
import { makeQuantity, toBase, type Quantity } from '../quantity/quantity.ts';

/** How much of a part belongs to an amount of the base, and the band about it; all in the unit of the base. */
export interface MixTarget {
  readonly target: Quantity;
  readonly low: Quantity;
  readonly high: Quantity;
}

/**
 * Target = base × share / share of the base; band = target ± tolerance of that target, ends in. Exact.
 * `tolerance` in `%`; the shares in the same kind of parts (by weight, or by volume).
 */
export const mixTarget = (base: Quantity, baseShare: Fraction, share: Fraction, tolerance: Quantity): MixTarget => {
  const target = base.amount.mul(share).div(baseShare);
  const room = target.mul(toBase(tolerance));
  return {
    target: makeQuantity(target, base.unit),
    low: makeQuantity(target.sub(room), base.unit),
    high: makeQuantity(target.add(room), base.unit),
  };
};
