import Fraction from 'fraction.js';
import type { Bound, Limits } from '../../quantity/limits.ts';
import { fixLimits } from '../../quantity/limits.ts';
import { compareQuantities, type Quantity, toBase } from '../../quantity/quantity.ts';
import { compareFractions } from '../../quantity/rational.ts';

export type LimitsChange = 'same' | 'tighter' | 'looser' | 'shifted' | 'changed';

type Order = -1 | 0 | 1;

const zero = new Fraction(0);

const offsetOf = (bound: Bound): Fraction => (bound.offset === undefined ? zero : toBase(bound.offset));

/** The order of two ends that name the same id: that of their tolerances. */
const orderOfRefs = (a: Bound, b: Bound): Order | undefined => {
  if (!('ref' in a.base) || !('ref' in b.base) || a.base.ref !== b.base.ref) return undefined;
  const [one, other] = [a.offset?.unit.dimension, b.offset?.unit.dimension];
  return one !== undefined && other !== undefined && one !== other
    ? undefined
    : compareFractions(offsetOf(a), offsetOf(b));
};

const fixedEnd = (bound: Bound): Quantity | undefined =>
  fixLimits({ text: '', high: bound }, () => undefined)?.high?.at;

/** The order of two ends, exactly; `undefined` where it depends on values that are not known yet. */
const orderOf = (a: Bound, b: Bound): Order | undefined => {
  if ('ref' in a.base || 'ref' in b.base) return orderOfRefs(a, b);
  const [one, other] = [fixedEnd(a), fixedEnd(b)];
  return one === undefined || other === undefined || one.unit.dimension !== other.unit.dimension
    ? undefined
    : compareQuantities(one, other);
};

/** -1: the new end lets fewer values through, 1: more, 0: the same. */
const widened = (a: Bound | undefined, b: Bound | undefined, side: 'low' | 'high'): Order | undefined => {
  if (a === undefined || b === undefined) return a === b ? 0 : a === undefined ? -1 : 1;
  const order = orderOf(a, b);
  if (order === undefined) return undefined;
  if (order !== 0) return (order === -1) === (side === 'high') ? 1 : -1;
  return a.included === b.included ? 0 : b.included ? 1 : -1;
};

/** What became of limits, compared exactly and whatever their units. Where the ends name different ids, they are `changed`. */
export const compareLimits = (before: Limits | undefined, after: Limits | undefined): LimitsChange => {
  const [low, high] = [widened(before?.low, after?.low, 'low'), widened(before?.high, after?.high, 'high')];
  if (low === undefined || high === undefined) return 'changed';
  if (low === 0 && high === 0) return 'same';
  if (low <= 0 && high <= 0) return 'tighter';
  return low >= 0 && high >= 0 ? 'looser' : 'shifted';
};

const unitsOfBound = (bound: Bound | undefined): readonly string[] => [
  ...(bound === undefined || 'ref' in bound.base ? [] : [bound.base.unit.name]),
  ...(bound?.offset === undefined ? [] : [bound.offset.unit.name]),
];

/** The units in which limits are written. */
export const unitsOfLimits = ({ low, high }: Limits): string =>
  [...new Set([...unitsOfBound(low), ...unitsOfBound(high)])].toSorted().join(' ');
