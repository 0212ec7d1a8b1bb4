import Fraction from 'fraction.js';
import type { CountReading, QuantityReading, Reading, Result, Step, Tighten } from '../procedure/model.ts';
import {
  decide,
  decideCalculated,
  decideGuarded,
  readUncertainty,
  type Uncertainty,
  type Verdict,
} from '../quantity/decision.ts';
import type { FixedLimits } from '../quantity/limits.ts';
import { convert, minus, parseQuantity, plus, scale, toBase, type Quantity } from '../quantity/quantity.ts';
import type { Unit } from '../quantity/units.ts';
import type { Outcome } from '../fault/fault.ts';
import type { Surroundings } from './surroundings.ts';
import type { EntryVerdict } from './entry.ts';
import type { FastenerAct, JobState, Try } from './state.ts';
import { latestTry, limitsNow, numberOf, quantityOf, resultNow, slotsOf, type Slot } from './values.ts';
import { own } from '../fault/own.ts';

/** What the build says of an individual tool, as an uncertainty in the reading's unit. */
export const uncertaintyOf = (spec: Readonly<Record<string, string>>, unit: Unit): Outcome<Uncertainty | undefined> =>
  readUncertainty(spec, unit);

const guarded = (
  reading: QuantityReading,
  value: Quantity,
  limits: FixedLimits,
  taken: Pick<Try, 'uncertainty'>,
): Verdict => {
  const read = uncertaintyOf(taken.uncertainty ?? {}, reading.unit);
  if (!read.ok || read.value === undefined) return 'undecided';
  const decided = decideGuarded(value, limits, read.value);
  return decided.ok ? decided.value : 'undecided';
};

const ofNumber = (
  job: JobState,
  reading: QuantityReading | CountReading,
  taken: Pick<Try, 'value' | 'uncertainty' | 'calculated'>,
): Verdict | undefined => {
  const value = quantityOf(reading, taken.value);
  const limits = reading.limits && limitsNow(job, reading.limits);
  if (value === undefined || limits === undefined) return undefined;
  if (reading.kind === 'quantity' && reading.guarded) return guarded(reading, value, limits, taken);
  return taken.calculated === undefined ? decide(value, limits) : decideCalculated(value, limits);
};

/**
 * Section 4 of the design, for one try by itself: plain or guarded, choices by what is accepted.
 * `undefined`: there is nothing to decide (text, no limits, or limits that wait for a value above).
 */
export const ownVerdict = (
  job: JobState,
  reading: Reading,
  taken: Pick<Try, 'value' | 'uncertainty' | 'calculated'>,
): Verdict | undefined => {
  if (reading.kind === 'text') return undefined;
  if (reading.kind === 'choice') return reading.accept.includes(taken.value) ? 'within' : 'outside';
  return ofNumber(job, reading, taken);
};

export interface TwinNow {
  /** Each side with a value, this job's own included. */
  readonly sides: readonly { readonly side: string; readonly value: Quantity }[];
  readonly missing: readonly string[];
  readonly spread?: Quantity;
  /** Open until the last side exists and the spread is in limits. */
  readonly open: boolean;
  readonly outside: boolean;
}

const sideValue = (job: JobState, reading: QuantityReading, slot: Slot): Quantity | undefined => {
  const taken = latestTry(job, reading.reading, slot);
  return taken && quantityOf(reading, taken.value);
};

/** The sides of a twin reading side by side, at one slot. */
export const twinNow = (
  job: JobState,
  reading: QuantityReading,
  slot: Slot,
  around: Surroundings,
): TwinNow | undefined => {
  if (!reading.twin) return undefined;
  const jobs = [job, ...around.otherSides];
  const sides = job.plan.each.flatMap((side) => {
    const of = jobs.find((other) => other.side === side);
    const value = of && sideValue(of, reading, slot);
    return value ? [{ side, value }] : [];
  });
  const missing = job.plan.each.filter((side) => !sides.some((one) => one.side === side));
  const sorted = sides.map((one) => one.value).toSorted((a, b) => toBase(a).compare(toBase(b)));
  const [least, most] = [sorted[0], sorted.at(-1)];
  const limits = limitsNow(job, reading.twin);
  const spread = least && most && sorted.length > 1 ? minus(most, least) : undefined;
  const outside = spread !== undefined && limits !== undefined && decide(spread, limits) === 'outside';
  return { sides, missing, open: missing.length > 0 || outside, outside, ...(spread ? { spread } : {}) };
};

/** The verdict on a try as it is told: `within, twin open` stops nothing until the last side exists. */
export const verdictOfTry = (
  job: JobState,
  reading: Reading,
  taken: Try,
  around: Surroundings,
): EntryVerdict | undefined => {
  const own = ownVerdict(job, reading, taken);
  if (reading.kind !== 'quantity' || !reading.twin || own === 'outside' || own === 'undecided') return own;
  return twinNow(job, reading, taken, around)?.open === true ? 'within, twin open' : 'within';
};

/** A calculated result carries its error bound; inside it, undecided. */
export const verdictOfResult = (job: JobState, result: Result): Verdict | undefined => {
  const value = resultNow(job, result.result)?.quantity;
  const limits = result.limits && limitsNow(job, result.limits);
  return value && limits ? decideCalculated(value, limits) : undefined;
};

/** The ratio between the wrench and the fastener: L/(L+E), 1 without an adapter. Source: TM 1-1500-204-23-9, fig 8-16. */
const lever = (tighten: Tighten): Fraction => {
  if (!tighten.adapter || !tighten.wrench) return new Fraction(1);
  const wrench = toBase(tighten.wrench);
  return wrench.div(wrench.add(toBase(tighten.adapter)));
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

const unitOfLimits = (limits: FixedLimits): Unit | undefined => (limits.low ?? limits.high)?.at.unit;

/** What the wrench must show: limits × L/(L+E) + drag, both as the wrench shows them with the adapter on. */
export const wrenchLimits = (
  job: JobState,
  tighten: Tighten,
  act: Pick<FastenerAct, 'drag'>,
): FixedLimits | undefined => {
  const limits = tighten.torque && limitsNow(job, tighten.torque);
  const unit = limits && unitOfLimits(limits);
  if (!limits || !unit) return undefined;
  const drag = dragOf(job, tighten, act, unit);
  const shown = (at: Quantity): Quantity => {
    const turned = scale(at, lever(tighten));
    return drag ? plus(turned, convert(drag, turned.unit)) : turned;
  };
  return {
    text: limits.text,
    ...(limits.low ? { low: { at: shown(limits.low.at), included: limits.low.included } } : {}),
    ...(limits.high ? { high: { at: shown(limits.high.at), included: limits.high.included } } : {}),
  };
};

const torqueUnit = (job: JobState, tighten: Tighten): Unit | undefined => {
  const limits = tighten.torque && limitsNow(job, tighten.torque);
  return limits && unitOfLimits(limits);
};

/** The torque at the fastener: what the wrench showed, less the drag, times (L+E)/L. */
export const fastenerTorqueNow = (
  job: JobState,
  tighten: Tighten,
  act: Pick<FastenerAct, 'torque' | 'drag'>,
): Quantity | undefined => {
  const unit = torqueUnit(job, tighten);
  const shown = act.torque !== undefined && unit ? parseQuantity(act.torque, { unit }) : undefined;
  if (!unit || !shown?.ok) return undefined;
  const drag = dragOf(job, tighten, act, unit);
  const net = drag ? minus(shown.value, convert(drag, shown.value.unit)) : shown.value;
  return scale(net, new Fraction(1).div(lever(tighten)));
};

const turnsVerdict = (job: JobState, text: string | undefined, limits: Tighten['past']): Verdict | undefined => {
  const fixed = limits && limitsNow(job, limits);
  const unit = fixed && unitOfLimits(fixed);
  const value = text !== undefined && unit ? parseQuantity(text, { unit }) : undefined;
  return value?.ok && fixed ? decide(value.value, fixed) : undefined;
};

/** The verdict on one fastener's values: outside where any of them is. */
export const verdictOfFastener = (
  job: JobState,
  tighten: Tighten,
  act: Pick<FastenerAct, 'torque' | 'drag' | 'fingerTight' | 'past'>,
): Verdict | undefined => {
  const unit = torqueUnit(job, tighten);
  const shown = act.torque !== undefined && unit ? parseQuantity(act.torque, { unit }) : undefined;
  const limits = wrenchLimits(job, tighten, act);
  const verdicts = [
    shown?.ok && limits ? decide(shown.value, limits) : undefined,
    turnsVerdict(job, act.fingerTight, tighten.fingerTight),
    turnsVerdict(job, act.past, tighten.past),
  ].filter((verdict) => verdict !== undefined);
  if (verdicts.length === 0) return undefined;
  return verdicts.includes('outside') ? 'outside' : 'within';
};

/** The current values of one fastener, each from the latest act that gave it. */
export const fastenerNow = (job: JobState, step: string, fastener: number): FastenerAct | undefined => {
  const acts = (own(job.fasteners, step) ?? []).filter(
    (act) => act.fastener === fastener && act.superseded === undefined,
  );
  const latest = acts.at(-1);
  if (!latest) return undefined;
  return acts.reduce((merged, act) => ({
    ...merged,
    ...act,
    mark: merged.mark && act.torque === undefined && act.past === undefined ? true : act.mark,
  }));
};

/** A value outside or undecided, and the key by which a disposition covers just this value. */
export interface Trouble {
  readonly on: string;
  readonly step: string;
  readonly key: string;
  readonly verdict: 'outside' | 'undecided';
  readonly what: string;
}

const where = (slot: Slot, reading: Reading): string =>
  `${reading.reading}${slot.position === undefined ? '' : ` at ${slot.position}`}${reading.times > 1 ? ` (${slot.n})` : ''}`;

const readingTroubles = (job: JobState, step: Step, reading: Reading): readonly Trouble[] =>
  slotsOf(reading).flatMap((slot) => {
    const taken = latestTry(job, reading.reading, slot);
    const verdict = taken && ownVerdict(job, reading, taken);
    if (!taken || (verdict !== 'outside' && verdict !== 'undecided')) return [];
    const limits = reading.kind === 'quantity' || reading.kind === 'count' ? reading.limits?.text : reading.kind;
    return [
      {
        on: reading.reading,
        step: step.step,
        key: `${taken.entry}=${taken.value}`,
        verdict,
        what: `${where(slot, reading)} is ${taken.value}, ${verdict}${limits === undefined ? '' : ` ${limits}`}`,
      },
    ];
  });

const resultTroubles = (job: JobState, step: Step, result: Result): readonly Trouble[] => {
  const verdict = verdictOfResult(job, result);
  const value = resultNow(job, result.result)?.quantity;
  if (!value || (verdict !== 'outside' && verdict !== 'undecided')) return [];
  return [
    {
      on: result.result,
      step: step.step,
      key: `${result.result}=${value.text}`,
      verdict,
      what: `${result.result} is ${value.text}, ${verdict} ${result.limits?.text ?? ''}`.trim(),
    },
  ];
};

const fastenerTroubles = (job: JobState, step: Step): readonly Trouble[] => {
  const tighten = step.tighten;
  if (!tighten) return [];
  return Array.from({ length: tighten.fasteners }, (_, index) => index + 1).flatMap((fastener) => {
    const act = fastenerNow(job, step.step, fastener);
    if (!act || verdictOfFastener(job, tighten, act) !== 'outside') return [];
    const values = [act.torque, act.fingerTight, act.past].filter((value) => value !== undefined).join(', ');
    return [
      {
        on: step.step,
        step: step.step,
        key: `${act.entry}=${values}`,
        verdict: 'outside' as const,
        what: `fastener ${fastener} of ${step.step} is ${values}, outside`,
      },
    ];
  });
};

/** Everything of a step that is outside or undecided and that no disposition covers. */
export const troublesOf = (job: JobState, step: Step): readonly Trouble[] =>
  allTroubles(job, step).filter((trouble) => !isCovered(job, trouble.key));

export const allTroubles = (job: JobState, step: Step): readonly Trouble[] => [
  ...step.readings.flatMap((reading) => readingTroubles(job, step, reading)),
  ...step.results.flatMap((result) => resultTroubles(job, step, result)),
  ...fastenerTroubles(job, step),
];

/** Repair and use-as-is let a value stand, once somebody who may has accepted it; `ask` only waits. */
export const isCovered = (job: JobState, key: string): boolean =>
  job.dispositions.some(
    (disposition) =>
      (disposition.kind === 'repair' || disposition.kind === 'use-as-is') && disposition.covers.includes(key),
  );
