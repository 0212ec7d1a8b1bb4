import type { Reading, Result, Tighten } from '../../../src/procedure/model.ts';
import type { FixedLimits } from '../../../src/quantity/limits.ts';
import { convert } from '../../../src/quantity/quantity.ts';
import type { Unit } from '../../../src/quantity/units.ts';
import type { JobState } from '../../../src/job/state.ts';
import { limitsNow } from '../../../src/job/values.ts';
import { wrenchLimits } from '../../../src/job/parts/wrench.ts';

/* What a person would type: a value within limits, or one outside them. */

const inUnit = (bound: FixedLimits['low'], unit: Unit): number | undefined =>
  bound && Number(convert(bound.at, unit).amount.valueOf());

const short = (value: number): string => String(Number(value.toFixed(4)));

/** @param nudge 0 to 1: where between the ends. */
const between = (limits: FixedLimits, unit: Unit, isWithin: boolean, nudge: number): number => {
  const [low, high] = [inUnit(limits.low, unit), inUnit(limits.high, unit)];
  if (low !== undefined && high !== undefined)
    return isWithin ? low + (high - low) * (0.35 + 0.3 * nudge) : high + (high - low + 1) * (0.5 + nudge);
  if (high !== undefined) return isWithin ? high - Math.abs(high) * (0.3 + 0.4 * nudge) : high * 1.5 + 1;
  return isWithin ? (low ?? 0) + Math.abs(low ?? 0) * 0.2 + 1 : (low ?? 0) - Math.abs(low ?? 0) * 0.5 - 1;
};

/** A value to type for a reading; `undefined` where nothing outside it can be typed. */
export const valueFor = (job: JobState, reading: Reading, isWithin: boolean, nudge: number): string | undefined => {
  if (reading.kind === 'text') return isWithin ? 'as it should be' : undefined;
  if (reading.kind === 'choice') {
    const other = reading.choices.find((one) => !reading.accept.includes(one));
    return isWithin ? reading.accept[0] : other;
  }
  const limits = reading.limits && limitsNow(job, reading.limits);
  if (!limits) return isWithin ? (reading.kind === 'count' ? '5' : `5 ${reading.unit.name}`) : undefined;
  const bound = limits.low ?? limits.high;
  if (!bound) return undefined;
  if (reading.kind === 'count') {
    const value = Math.max(0, Math.round(between(limits, bound.at.unit, isWithin, nudge)));
    return String(value);
  }
  return `${short(between(limits, reading.unit, isWithin, nudge))} ${reading.unit.name}`;
};

/** What the wrench shows, and the turns, for one fastener. */
export const fastenerFor = (
  job: JobState,
  tighten: Tighten,
  isWithin: boolean,
  nudge: number,
): Readonly<Record<string, string>> => {
  const drag = tighten.drag === 'measured' ? { drag: '10 in·lb' } : {};
  const torque = wrenchLimits(job, tighten, drag);
  const turns = (limits: Tighten['past']): string | undefined => {
    const fixed = limits && limitsNow(job, limits);
    const bound = fixed && (fixed.low ?? fixed.high);
    return fixed && bound ? `${short(between(fixed, bound.at.unit, true, 0.5))} ${bound.at.unit.name}` : undefined;
  };
  const bound = torque && (torque.low ?? torque.high);
  const [finger, past] = [turns(tighten.fingerTight), turns(tighten.past)];
  return {
    ...(torque && bound
      ? { torque: `${short(between(torque, bound.at.unit, isWithin, nudge))} ${bound.at.unit.name}`, ...drag }
      : {}),
    ...(finger === undefined ? {} : { 'finger-tight': finger }),
    ...(past === undefined ? {} : { past }),
  };
};

/** The readings that a result is calculated from. */
export const inputsOf = ({ from }: Result): readonly string[] =>
  Object.values(from).flatMap((input) => (input.kind === 'id' ? [input.id] : []));
