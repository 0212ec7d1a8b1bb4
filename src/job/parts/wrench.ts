import Fraction from 'fraction.js';
import type { Tighten } from '../../procedure/model.ts';
import type { FixedLimits } from '../../quantity/limits.ts';
import { parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import type { Unit } from '../../quantity/units.ts';
import { leverRatio, torqueBehind, torqueShown } from '../../trade/lever.ts';
import type { FastenerAct, JobState } from '../state.ts';
import { limitsNow, numberOf } from '../values.ts';

/**
 * The lever ratio of a torque adapter; 1 without one. An adapter that leaves nothing of the wrench cannot pass the check of a procedure, so
 * meeting one is a bug.
 */
const leverOf = ({ adapter, wrench }: Tighten): Fraction => {
  if (!adapter || !wrench) return new Fraction(1);
  const ratio = leverRatio(wrench, adapter);
  if (ratio === undefined)
    throw new RangeError(`an adapter of ${adapter.text} leaves nothing of a wrench of ${wrench.text}`);
  return ratio;
};

/** The nut's own drag for an act: as entered, or as the procedure gives it. */
const dragOf = (job: JobState, tighten: Tighten, act: Pick<FastenerAct, 'drag'>, unit: Unit): Quantity | undefined => {
  if (act.drag !== undefined) {
    const parsed = parseQuantity(act.drag, { unit });
    return parsed.ok ? parsed.value : undefined;
  }
  if (tighten.drag === undefined || tighten.drag === 'measured' || tighten.drag.kind === 'text') return undefined;
  return tighten.drag.kind === 'quantity' ? tighten.drag.quantity : numberOf(job, tighten.drag.id);
};

/** The unit of a bare number. */
export const unitOfLimits = (limits: FixedLimits): Unit | undefined => (limits.low ?? limits.high)?.at.unit;

/**
 * What the wrench must show, with the nut's drag added and the adapter on. `undefined` where there is no torque, or where its limits depend
 * on a value not entered yet.
 */
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

/** What the wrench showed, as typed. A bare number is in the unit of the limits. */
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

/** The torque at the fastener, in the unit of the wrench. */
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
