import Fraction from 'fraction.js';
import { decide } from './decision.ts';
import type { FixedBound, FixedLimits } from './limits.ts';
import { convert, makeQuantity, toBase, type Quantity } from './quantity.ts';
import { printNumber } from './rational.ts';
import type { Unit } from './units.ts';

/** A zone is shown in steps of at most this share of it, so that rounding takes next to nothing away. */
const shareOfZone = 10;

/** A limit without another end is shown in so many significant digits. */
const significant = 4;

const ten = new Fraction(10);

/** The largest power of ten, at most 1, that is not above the value. The value is positive. */
const powerUpTo = (value: Fraction): Fraction => {
  let step = new Fraction(1);
  while (step.compare(value) > 0 && step.d < 10n ** 12n) step = step.div(ten);
  return step;
};

/** One unit in the last of so many significant digits of a value, at most 1. */
const lastDigit = (value: Fraction): Fraction => powerUpTo(value.abs().div(10 ** (significant - 1)));

/** The step in which limits are shown where nobody knows what the tool shows. */
const ownStep = ({ low, high }: FixedLimits): Fraction | undefined => {
  if (low && high) {
    const zone = convert(high.at, low.at.unit).amount.sub(low.at.amount);
    return zone.compare(0) > 0 ? powerUpTo(zone.div(shareOfZone)) : undefined;
  }
  const one = (low ?? high)?.at.amount;
  return one === undefined || one.equals(0) ? undefined : lastDigit(one);
};

/** What the tool shows, in the unit of the limits: its resolution. */
const stepOfTool = (resolution: Quantity, unit: Unit): Fraction | undefined =>
  resolution.unit.dimension === unit.dimension && unit.offset === undefined
    ? toBase(resolution).div(unit.factor)
    : undefined;

const roundedIn = ({ at, included }: FixedBound, step: Fraction, side: 'low' | 'high'): FixedBound => {
  const steps = at.amount.div(step);
  const whole = side === 'low' ? steps.ceil() : steps.floor();
  if (whole.equals(steps)) return { at, included };
  return { at: makeQuantity(whole.mul(step), at.unit), included: true };
};

const isEmpty = ({ low, high }: FixedLimits): boolean =>
  low !== undefined && high !== undefined && toBase(low.at).compare(toBase(high.at)) > 0;

/**
 * Limits as numbers that a person can act on: each end rounded inwards, to what the tool shows (`resolution`), else to as many digits as the
 * zone is worth. What is within these is within the limits; the decision itself is always made with the exact ones. Where rounding would
 * leave nothing, the exact limits are shown.
 */
export const shownLimits = (limits: FixedLimits, resolution?: Quantity): FixedLimits => {
  const unit = (limits.low ?? limits.high)?.at.unit;
  const step = unit && ((resolution && stepOfTool(resolution, unit)) ?? ownStep(limits));
  if (step === undefined || step.compare(0) <= 0) return { ...limits, text: boundsWords(limits) };
  const rounded: FixedLimits = {
    text: limits.text,
    ...(limits.low ? { low: roundedIn(limits.low, step, 'low') } : {}),
    ...(limits.high ? { high: roundedIn(limits.high, step, 'high') } : {}),
  };
  const shown = isEmpty(rounded) ? limits : rounded;
  return { ...shown, text: boundsWords(shown) };
};

const quantityWords = (at: Quantity): string => makeQuantity(at.amount, at.unit).text;

/** `25.9 to 26.9 g`: the unit once, where both ends have the same. `at most 0.15 mm`, `more than 2 mm`. */
export const boundsWords = ({ text, low, high }: FixedLimits): string => {
  if (low?.included === true && high?.included === true) {
    if (toBase(low.at).equals(toBase(high.at))) return `exactly ${quantityWords(high.at)}`;
    return low.at.unit === high.at.unit && low.at.unit.dimension !== 'count'
      ? `${printNumber(low.at.amount)} to ${quantityWords(high.at)}`
      : `${quantityWords(low.at)} to ${quantityWords(high.at)}`;
  }
  const ends = [
    low && `${low.included ? 'at least' : 'more than'} ${quantityWords(low.at)}`,
    high && `${high.included ? 'at most' : 'less than'} ${quantityWords(high.at)}`,
  ].filter((end) => end !== undefined);
  return ends.length === 0 ? text : ends.join(', ');
};

/** A target in the step in which its limits are shown, rounded to the nearest: what to weigh, between numbers rounded alike. */
export const shownTarget = (target: Quantity, limits: FixedLimits, resolution?: Quantity): string => {
  const inUnit = convert(target, (limits.low ?? limits.high)?.at.unit ?? target.unit);
  const step = (resolution && stepOfTool(resolution, inUnit.unit)) ?? ownStep(limits);
  if (step === undefined || step.compare(0) <= 0) return quantityWords(inUnit);
  const rounded = makeQuantity(inUnit.amount.div(step).round().mul(step), inUnit.unit);
  return decide(rounded, limits) === 'within' ? rounded.text : quantityWords(inUnit);
};

/**
 * A value as it is to be written down, where what is written must lie within `limits`: in the coarsest decimals that tell values within them
 * apart, and with all of its digits where only the value itself lies within.
 */
export const toBeWritten = (value: Quantity, limits: FixedLimits): string => {
  const { low, high } = limits;
  if (!low || !high) return quantityWords(value);
  const zone = convert(high.at, low.at.unit).amount.sub(low.at.amount);
  const inUnit = convert(value, low.at.unit);
  if (zone.compare(0) <= 0) return quantityWords(inUnit);
  for (let step = powerUpTo(zone); step.d < 10n ** 10n; step = step.div(ten)) {
    const rounded = makeQuantity(inUnit.amount.div(step).round().mul(step), inUnit.unit);
    if (decide(rounded, limits) === 'within') return rounded.text;
  }
  return quantityWords(inUnit);
};
