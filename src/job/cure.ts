import Fraction from 'fraction.js';
import type { Cure, CureStage, Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { parseInstant } from '../quantity/time.ts';
import { toBase } from '../quantity/quantity.ts';
import type { Around } from './around.ts';
import type { JobState } from './state.ts';
import { knownAt, readingsOf, type Warmth } from './temperatures.ts';
import { own } from '../fault/own.ts';

export const msOf = (instant: string): number => {
  const parsed = parseInstant(instant);
  if (!parsed.ok) throw new RangeError(`not an instant: ${instant}`);
  return parsed.value.ms;
};

export interface Interval {
  readonly from: number;
  readonly to: number;
  readonly temperature: string;
  readonly counted: boolean;
  /** Why it counts nothing. */
  readonly why?: 'below the floor' | 'too long without a reading' | 'the clock was in doubt';
  readonly base: Fraction;
}

export interface StageNow {
  readonly stage: string;
  /** Clock time that counted towards this stage, whole milliseconds. */
  readonly countedMs: number;
  /** The stage's own time at its hottest point. */
  readonly needMs: number;
  /** 1 is reached; for show only, the decision is `reached`. */
  readonly progress: number;
  readonly reached: boolean;
  /** When it would be reached if the last temperature stays; for show only. */
  readonly forecast?: number;
}

export interface CureNow {
  readonly begun?: number;
  readonly clockMs: number;
  readonly until: string;
  readonly stages: readonly StageNow[];
  readonly intervals: readonly Interval[];
  readonly last?: { readonly ms: number; readonly temperature: string };
}

/** Steps to be finished inside the pot life of any of these mixes. */
const gluedWith = (job: JobState, mixes: readonly string[]): readonly Step[] =>
  job.plan.steps.filter((step) => step.inPotLifeOf.some((mix) => mixes.includes(mix)));

/**
 * When a cure begins: the last step with `in-pot-life-of` its mix is finished; without one, the mix step is.
 * `undefined` until then.
 */
export const cureBegun = (job: JobState, cure: Cure): number | undefined => {
  const glued = gluedWith(job, cure.of);
  const ending = glued.length > 0 ? glued.map((step) => step.step) : cure.of;
  const finished = ending
    .filter((id) => own(job.steps, id)?.state !== 'skipped')
    .map((id) => own(job.steps, id)?.finished?.when);
  if (finished.length === 0 || finished.some((when) => when === undefined)) return undefined;
  return Math.max(...finished.flatMap((when) => (when === undefined ? [] : [msOf(when)])));
};

const intervalBetween = (one: Warmth, other: Warmth, cure: Cure, begun: number, at: number): Interval | undefined => {
  const from = Math.max(one.ms, begun);
  const to = Math.min(other.ms, at);
  if (to <= from) return undefined;
  const floor = toBase(cure.floor);
  const ends = other.lowest ? other.lowest : one.base.compare(other.base) <= 0 ? one : other;
  const below = ends.base.compare(floor) < 0;
  const long = !other.lowest && cure.readingEvery !== undefined && other.ms - one.ms > cure.readingEvery.ms;
  const why =
    one.doubtful || other.doubtful
      ? 'the clock was in doubt'
      : below
        ? 'below the floor'
        : long
          ? 'too long without a reading'
          : undefined;
  return { from, to, temperature: ends.text, base: ends.base, counted: why === undefined, ...(why ? { why } : {}) };
};

/** What falls between two readings counts at the colder of the two; before the first and after the last nothing does. */
const intervalsOf = (readings: readonly Warmth[], cure: Cure, begun: number, at: number): readonly Interval[] =>
  readings.slice(1).flatMap((reading, index) => {
    const before = readings[index];
    const interval = before && intervalBetween(before, reading, cure, begun, at);
    return interval ? [interval] : [];
  });

interface Rate {
  /** Index of the point whose time holds, or -1: colder than the coldest. */
  readonly point: number;
  /** Time for the whole stage at this temperature, ms. */
  readonly time: number;
}

/** Between two points the colder point's rate; hotter than the hottest no more than the hottest; colder than the coldest nothing. */
const statedRate = (stage: CureStage, base: Fraction): Rate => {
  const point = stage.points.findLastIndex((one) => toBase(one.at).compare(base) <= 0);
  return { point, time: stage.points[point]?.time.ms ?? Infinity };
};

const kelvin = (base: Fraction): number => base.valueOf();

/** ln(time) linear in 1/T between two points, T in kelvin; never beyond them. Shown as a forecast, or counted where the author chose it. */
const arrheniusTime = (stage: CureStage, base: Fraction): number => {
  const { point, time } = statedRate(stage, base);
  const [colder, hotter] = [stage.points[point], stage.points[point + 1]];
  if (!colder || !hotter) return time;
  const [t1, t2] = [1 / kelvin(toBase(colder.at)), 1 / kelvin(toBase(hotter.at))];
  const share = (1 / kelvin(base) - t1) / (t2 - t1);
  return Math.exp(Math.log(colder.time.ms) + share * (Math.log(hotter.time.ms) - Math.log(colder.time.ms)));
};

interface Count {
  readonly countedMs: number;
  readonly progress: number;
  readonly reached: boolean;
}

/** Σ Δt / time(T), whole milliseconds over each point's own time, as a rational: 6 h + 11 h 50 min + 10 min is 18 h. */
const countStated = (stage: CureStage, intervals: readonly Interval[]): Count => {
  const atPoint = stage.points.map(() => 0);
  for (const interval of intervals) {
    const { point } = statedRate(stage, interval.base);
    if (interval.counted && point >= 0) atPoint[point] = (atPoint[point] ?? 0) + (interval.to - interval.from);
  }
  const progress = stage.points.reduce(
    (sum, point, index) => sum.add(new Fraction(atPoint[index] ?? 0, point.time.ms)),
    new Fraction(0),
  );
  return {
    countedMs: atPoint.reduce((sum, ms) => sum + ms, 0),
    progress: progress.valueOf(),
    reached: progress.compare(1) >= 0,
  };
};

/** Real arithmetic: a hair over 1 is asked for, so that rounding never ends a cure early. */
const roundingRoom = 1e-9;

const countArrhenius = (stage: CureStage, intervals: readonly Interval[]): Count => {
  let countedMs = 0;
  let progress = 0;
  for (const interval of intervals) {
    const time = interval.counted ? arrheniusTime(stage, interval.base) : Infinity;
    if (time === Infinity) continue;
    countedMs += interval.to - interval.from;
    progress += (interval.to - interval.from) / time;
  }
  return { countedMs, progress, reached: progress >= 1 + roundingRoom };
};

const forecastOf = (
  stage: CureStage,
  count: Count,
  cure: Cure,
  last: Warmth | undefined,
  at: number,
): number | undefined => {
  if (count.reached || !last || last.base.compare(toBase(cure.floor)) < 0) return undefined;
  const time = cure.between === 'arrhenius' ? arrheniusTime(stage, last.base) : statedRate(stage, last.base).time;
  return time === Infinity ? undefined : Math.max(at, Math.ceil(last.ms + (1 - count.progress) * time));
};

const stageNow = (
  stage: CureStage,
  cure: Cure,
  intervals: readonly Interval[],
  last: Warmth | undefined,
  at: number,
): StageNow => {
  const count = cure.between === 'arrhenius' ? countArrhenius(stage, intervals) : countStated(stage, intervals);
  const forecast = forecastOf(stage, count, cure, last, at);
  return {
    stage: stage.stage,
    ...count,
    needMs: stage.points.at(-1)?.time.ms ?? 0,
    ...(forecast === undefined ? {} : { forecast }),
  };
};

/** Section 5 of the design, at one instant: all computed from what was entered, nothing from a running clock. */
export const cureNow = (job: JobState, step: Step, around: Around, at: number): CureNow | undefined => {
  const cure = step.cure;
  if (!cure) return undefined;
  const begun = cureBegun(job, cure);
  const readings = readingsOf(knownAt(around, step.place ?? ''));
  const intervals = begun === undefined ? [] : intervalsOf(readings, cure, begun, at);
  const last = readings.findLast((reading) => reading.ms <= at);
  return {
    ...(begun === undefined ? {} : { begun }),
    clockMs: begun === undefined ? 0 : Math.max(0, at - begun),
    until: cure.until,
    stages: cure.stages.map((stage) => stageNow(stage, cure, intervals, begun === undefined ? undefined : last, at)),
    intervals,
    ...(last ? { last: { ms: last.ms, temperature: last.text } } : {}),
  };
};

/** One stage of a cure step, at one instant. */
export const stageOfCure = (
  job: JobState,
  cureStep: string,
  stage: string,
  around: Around,
  at: number,
): StageNow | undefined => {
  const step = stepOf(job.plan, cureStep);
  return step && cureNow(job, step, around, at)?.stages.find((one) => one.stage === stage);
};
