import Fraction from 'fraction.js';
import type { Limits } from '../../quantity/limits.ts';
import { makeQuantity, type Quantity } from '../../quantity/quantity.ts';
import type { PotLifePoint, ResultInput } from '../model.ts';
import { countUnit } from '../schema/leaves.ts';
import { type Amount, amountsLeaf, type Leaf, limitsLeaf, time } from './sheet.ts';

/* Leaves that several parts of a step have. */

export const atMost = (quantity: Quantity): Limits => ({
  text: quantity.text,
  high: { base: quantity, included: true },
});
export const atLeast = (quantity: Quantity): Limits => ({
  text: quantity.text,
  low: { base: quantity, included: true },
});

/** Fewer tries are tighter. */
export const triesLeaf = (tries: number | undefined): Leaf | undefined =>
  tries === undefined
    ? undefined
    : limitsLeaf(atMost(makeQuantity(new Fraction(tries), countUnit)), `at most ${tries}`);

export const inputLeaf = (input: ResultInput): Leaf => {
  if (input.kind === 'quantity') return amountsLeaf(input.quantity.text, [input.quantity]);
  return { is: 'leaf', text: input.kind === 'id' ? input.id : input.text, value: { as: 'plain' } };
};

const pointText = ({ time: taken, at }: PotLifePoint): string =>
  at === undefined ? taken.text : `${taken.text} at ${at.text}`;

export const pointsLeaf = (points: readonly PotLifePoint[]): Leaf =>
  amountsLeaf(
    points.map(pointText).join(', '),
    points.flatMap((point): readonly Amount[] => [time(point.time), ...(point.at === undefined ? [] : [point.at])]),
  );
