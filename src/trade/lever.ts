import type Fraction from 'fraction.js';
import { minus, plus, scale, toBase, type Quantity } from '../quantity/quantity.ts';

/*
 * An adapter on the end of a torque wrench changes its lever arm, so that the wrench shows another torque than the one at the fastener:
 * TW = TA × L/(L + E), where L is the wrench's length and E what the adapter adds along it. Source: TM 1-1500-204-23-9, figure 8-16.
 * The nut's own drag, read off the wrench with the adapter on, is added to what it shows. Source: AC 43.13-1B, 7-40 d.
 */

/**
 * L/(L + E): what the wrench shows for each unit of torque at the fastener. Exact. `adapter` is negative where the adapter shortens the
 * wrench. `undefined`: the wrench has no length, or the adapter reaches back to its axis or beyond.
 */
export const leverRatio = (wrench: Quantity, adapter: Quantity): Fraction | undefined => {
  const length = toBase(wrench);
  const whole = length.add(toBase(adapter));
  return length.compare(0) > 0 && whole.compare(0) > 0 ? length.div(whole) : undefined;
};

/** What the wrench shows for a torque at the fastener. In the unit of `torque`. */
export const torqueShown = (torque: Quantity, lever: Fraction, drag: Quantity | undefined): Quantity => {
  const bare = scale(torque, lever);
  return drag === undefined ? bare : plus(bare, drag);
};

/** The torque at the fastener for what the wrench showed. In the unit of `shown`; not above zero where the drag was all of it. */
export const torqueBehind = (shown: Quantity, lever: Fraction, drag: Quantity | undefined): Quantity =>
  scale(drag === undefined ? shown : minus(shown, drag), lever.inverse());
