import Fraction from 'fraction.js';
import type { Tighten } from '../../procedure/model.ts';
import type { FixedLimits } from '../../quantity/limits.ts';
import { parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import type { Unit } from '../../quantity/units.ts';
import { leverRatio, torqueBehind, torqueShown } from '../../trade/lever.ts';
import type { FastenerAct, JobState } from '../state.ts';
import { limitsNow, numberOf } from '../values.ts';

/** The lever ratio of a tightening; 1 without an adapter. An adapter that leaves nothing of the wrench is a bug: no procedure has one. */
const leverOf = ({ adapter, wrench }: Tighten): Fraction => {
  if (!adapter || !wrench) return new Fraction(1);
  const ratio = leverRatio(wrench, adapter);
  if (ratio === undefined)
    throw new RangeError(`an adapter of ${adapter.text} leaves nothing of a wrench of ${wrench.text}`);
  return ratio;
};

/** The drag that belongs to an act: as entered, or the procedure's own. */
const dragOf = (job: JobState, tighten: Tighten, act: Pick<FastenerAct, 'drag'>, unit: Unit): Quantity | undefined => {
  if (act.drag !== undefined) {
    const parsed = parseQuantity(act.drag, { unit });
    return parsed.ok ? parsed.value : undefined;
  }
  if (tighten.drag === undefined || tighten.drag === 'measured' || tighten.drag.kind === 'text') return undefined;
  return tighten.drag.kind === 'quantity' ? tighten.drag.quantity : numberOf(job, tighten.drag.id);
};

/** The unit in which a bare number is meant. */
export const unitOfLimits = (limits: FixedLimits): Unit | undefined => (limits.low ?? limits.high)?.at.unit;

/** What the wrench must show, the nut's drag included, with the adapter on. `undefined` without a torque, or while its limits wait. */
export const wrenchLimits = (
  job: JobState,
  tighten: Tighten,
  act: Pick<FastenerAct, 'drag'>,
): FixedLimits | undefined => {
  const limits = tighten.torque && limitsNow(job, tighten.torque);
  const unit = limits && unitOfLimits(limits);
  if (!limits || !unit) return undefined;
  const drag = dragOf(job, tighten, act, unit);
  const shown = (at: Quantity): Quantity => torqueShown(at, leverOf(tighten), drag);
  return {
    text: limits.text,
    ...(limits.low ? { low: { at: shown(limits.low.at), included: limits.low.included } } : {}),
    ...(limits.high ? { high: { at: shown(limits.high.at), included: limits.high.included } } : {}),
  };
};

/** What the wrench showed, as it was typed; a bare number is in the unit of the limits. */
export const shownTorque = (
  job: JobState,
  tighten: Tighten,
  act: Pick<FastenerAct, 'torque'>,
): Quantity | undefined => {
  const limits = tighten.torque && limitsNow(job, tighten.torque);
  const unit = limits && unitOfLimits(limits);
  const parsed = act.torque !== undefined && unit ? parseQuantity(act.torque, { unit }) : undefined;
  return parsed?.ok ? parsed.value : undefined;
};

/** The torque at the fastener, in the unit in which the wrench showed it. */
export const fastenerTorqueNow = (
  job: JobState,
  tighten: Tighten,
  act: Pick<FastenerAct, 'torque' | 'drag'>,
): Quantity | undefined => {
  const shown = shownTorque(job, tighten, act);
  const limits = tighten.torque && limitsNow(job, tighten.torque);
  const unit = limits && unitOfLimits(limits);
  return shown && unit && torqueBehind(shown, leverOf(tighten), dragOf(job, tighten, act, unit));
};
