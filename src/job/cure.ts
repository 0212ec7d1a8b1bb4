import Fraction from 'fraction.js';
import type { Cure, CureStage, Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { parseInstant } from '../quantity/time.ts';
import { toBase } from '../quantity/quantity.ts';
import { kelvinOf } from '../quantity/ticks.ts';
import type { Surroundings } from './surroundings.ts';
import type { JobState } from './state.ts';
import type { Stamp } from './stamp.ts';
import { columnOf, temperatureWords, type Column } from './column.ts';
import { atPoints, whyNot, type WhyNot } from './cure-count.ts';
import { countedAt, type Cells, type Counted } from './cure-window.ts';
import { isNotDone, stepApplies } from './step-state.ts';
import { lastUpTo } from './temperatures.ts';
import { own } from '../fault/own.ts';

/** The ms since 1970 of an instant that has been read before. Throws a RangeError for anything else, which would be a bug. */
export const msOf = (instant: string): number => {
  const parsed = parseInstant(instant);
  if (!parsed.ok) throw new RangeError(`not an instant: ${instant}`);
  return parsed.value.ms;
};

/**
 * When something happened, ms since 1970. Where the stamp is in doubt, not earlier than when the clock was set right; Infinity while nobody
 * has set it right.
 */
export const knownMs = ({ when, doubtful }: Stamp, { clockSince }: Pick<Surroundings, 'clockSince'>): number =>
  doubtful === true ? Math.max(msOf(when), clockSince) : msOf(when);

/**
 * The time between two readings. Neighbouring rows of a log that count alike are joined into one interval, which has the temperature of the
 * coldest.
 */
export interface Interval {
  /** In ms since 1970, as is `to`. */
  readonly from: number;
  readonly to: number;
  readonly temperature: string;
  readonly counted: boolean;
  /** Why the interval does not count; absent where it does. */
  readonly why?: Exclude<(typeof whyNot)[number], ''>;
  /** The temperature in kelvin. */
  readonly base: Fraction;
}

export interface StageNow {
  readonly stage: string;
  /** Clock time that counted towards this stage, whole milliseconds. */
  readonly countedMs: number;
  /**
   * The time that the stage takes, ms; absent where it takes another time at each of several temperatures. Hours then say nothing unless
   * their temperature is named, and `percent` says how far the stage has come.
   */
  readonly needMs?: number;
  /** The time that counted at each of the stage's points, from cold to hot; empty where a curve was counted. */
  readonly atPoints: readonly { readonly at: string; readonly ms: number }[];
  /** 1 means reached. For display only: `reached` is the decision. */
  readonly progress: number;
  /** The same in whole percent, rounded down: 100 only where the stage is reached. */
  readonly percent: number;
  readonly reached: boolean;
  /** How long the stage still takes if the last temperature stays, ms. For display only, as is `forecast`. */
  readonly leftMs?: number;
  /** When the stage will be reached if the last temperature stays from now on, ms since 1970. */
  readonly forecast?: number;
}

export interface CureNow {
  /** When the cure began, ms since 1970; absent while it has not. */
  readonly begun?: number;
  /** Clock time since the beginning, ms. */
  readonly clockMs: number;
  readonly until: string;
  readonly stages: readonly StageNow[];
  /** Worked out when somebody asks for the intervals. */
  readonly intervals: readonly Interval[];
  /** The time of the cure in `count` equal parts, for a drawing. */
  readonly cells: (count: number) => Cells;
  /** The last reading of the place; `ms` is milliseconds since 1970. */
  readonly last?: { readonly ms: number; readonly temperature: string };
}

/** The steps that must be finished within the pot life of one of these mixes. */
const gluedWith = (job: JobState, mixes: readonly string[]): readonly Step[] =>
  job.plan.steps.filter((step) => step.inPotLifeOf.some((mix) => mixes.includes(mix)));

/**
 * When a cure begins, ms since 1970: when the last step with `in-pot-life-of` its mix is finished; where there is none, when the mix step
 * is. `undefined` until then, and while the clock leaves that time unknown.
 */
const cureBegun = (job: JobState, cure: Cure, around: Surroundings): number | undefined => {
  const glued = gluedWith(job, cure.of);
  const made = glued.filter((step) => stepApplies(job, step) && !isNotDone(job, step));
  const ending = glued.length > 0 ? made.map((step) => step.step) : cure.of;
  const finished = ending.map((id) => own(job.steps, id)?.finished);
  if (finished.length === 0 || finished.some((stamp) => stamp === undefined)) return undefined;
  const begun = Math.max(...finished.flatMap((stamp) => (stamp === undefined ? [] : [knownMs(stamp, around)])));
  return begun === Infinity ? undefined : begun;
};

const exclude = (why: WhyNot): Interval['why'] => {
  const text = whyNot[why];
  return text === '' ? undefined : text;
};

const intervalsOf = ({ column, stretches }: Counted): readonly Interval[] =>
  stretches().map(({ from, to, cold, why, row }) => {
    const not = exclude(why);
    const temperature = temperatureWords(column, cold, row);
    return { from, to, temperature, base: kelvinOf(cold), counted: not === undefined, ...(not ? { why: not } : {}) };
  });

interface Rate {
  /** Index of the point whose time applies, or -1 where it is colder than the coldest point. */
  readonly point: number;
  /** Time for the whole stage at this temperature, ms; Infinity below the coldest point. */
  readonly time: number;
}

/** The maker's own rate: between two points that of the colder one; above the hottest, that of the hottest; below the coldest, none. */
const statedRate = (stage: CureStage, base: Fraction): Rate => {
  const point = stage.points.findLastIndex((one) => toBase(one.at).compare(base) <= 0);
  return { point, time: stage.points[point]?.time.ms ?? Infinity };
};

/** For the floating-point formulas below only; `base` is in kelvin. */
const kelvin = (base: Fraction): number => base.valueOf();

/**
 * The time in ms by a curve on which ln(time) is linear in 1/T between two points, T in kelvin, and never beyond them. Used for the
 * forecast, and for counting where the author of the procedure chose it.
 */
const arrheniusTime = (stage: CureStage, base: Fraction): number => {
  const { point, time } = statedRate(stage, base);
  const [colder, hotter] = [stage.points[point], stage.points[point + 1]];
  if (!colder || !hotter) return time;
  const [t1, t2] = [1 / kelvin(toBase(colder.at)), 1 / kelvin(toBase(hotter.at))];
  const share = (1 / kelvin(base) - t1) / (t2 - t1);
  return Math.exp(Math.log(colder.time.ms) + share * (Math.log(hotter.time.ms) - Math.log(colder.time.ms)));
};

interface Count {
  /** Time that counted, ms. */
  readonly countedMs: number;
  readonly atPoints: StageNow['atPoints'];
  readonly progress: number;
  readonly percent: number;
  readonly reached: boolean;
}

/**
 * Progress is the sum of Δt / time(T), as a rational: whole milliseconds over each point's own time, so that 6 h + 11 h 50 min + 10 min is
 * exactly 18 h.
 */
const countStated = (stage: CureStage, { limits, bands }: Counted): Count => {
  const times = atPoints(stage, limits, bands());
  const progress = stage.points.reduce(
    (sum, point, index) => sum.add(new Fraction(times[index] ?? 0, point.time.ms)),
    new Fraction(0),
  );
  const reached = progress.compare(1) >= 0;
  return {
    countedMs: times.reduce((sum, ms) => sum + ms, 0),
    atPoints: stage.points.map(({ at }, index) => ({ at: at.text, ms: times[index] ?? 0 })),
    progress: progress.valueOf(),
    percent: reached ? 100 : Number(progress.mul(100).floor()),
    reached,
  };
};

/** Progress counted in floating point must exceed 1 by this much, so that rounding never ends a cure early. */
const roundingRoom = 1e-9;

const countArrhenius = (stage: CureStage, { byCold }: Counted): Count => {
  let countedMs = 0;
  let progress = 0;
  for (const [cold, ms] of byCold()) {
    const time = arrheniusTime(stage, kelvinOf(cold));
    if (time === Infinity) continue;
    countedMs += ms;
    progress += ms / time;
  }
  const reached = progress >= 1 + roundingRoom;
  const percent = reached ? 100 : Math.min(99, Math.floor(progress * 100));
  return { countedMs, atPoints: [], progress, percent, reached };
};

interface Last {
  /** In ms since 1970. */
  readonly ms: number;
  readonly base: Fraction;
  readonly temperature: string;
}

/** The last reading up to an instant. @param at ms since 1970. */
const lastOf = (column: Column, at: number): Last | undefined => {
  const row = lastUpTo(column.ms, at);
  if (row < 0) return undefined;
  const ticks = column.ticks[row] ?? 0;
  return { ms: column.ms[row] ?? 0, base: kelvinOf(ticks), temperature: temperatureWords(column, ticks, row) };
};

/** How long a stage still takes if the last temperature stays, ms; `undefined` where that temperature counts nothing. */
const leftOf = (stage: CureStage, count: Count, cure: Cure, last: Last | undefined): number | undefined => {
  if (count.reached || !last || last.base.compare(toBase(cure.floor)) < 0) return undefined;
  const time = cure.between === 'arrhenius' ? arrheniusTime(stage, last.base) : statedRate(stage, last.base).time;
  // The progress is a rounded number, so a part of a millisecond means nothing.
  return time === Infinity ? undefined : Math.max(0, Math.round((1 - count.progress) * time));
};

const nothingYet = (stage: CureStage): Count => ({
  countedMs: 0,
  atPoints: stage.points.map(({ at }) => ({ at: at.text, ms: 0 })),
  progress: 0,
  percent: 0,
  reached: false,
});

const countOf = (stage: CureStage, cure: Cure, counted: Counted | undefined): Count => {
  if (!counted) return nothingYet(stage);
  return cure.between === 'arrhenius' ? countArrhenius(stage, counted) : countStated(stage, counted);
};

/**
 * One stage at an instant. What was read some hours ago says nothing about the hours since, so a forecast starts now, or when the cure
 * began.
 * @param at ms since 1970.
 */
const stageNow = (
  stage: CureStage,
  cure: Cure,
  counted: Counted | undefined,
  last: Last | undefined,
  at: number,
): StageNow => {
  const count = countOf(stage, cure, counted);
  const left = counted && leftOf(stage, count, cure, last);
  const [only, ...more] = stage.points;
  return {
    stage: stage.stage,
    ...count,
    ...(only === undefined || more.length > 0 ? {} : { needMs: only.time.ms }),
    ...(left === undefined ? {} : { leftMs: left, forecast: Math.max(at, counted?.begun ?? at) + left }),
  };
};

/**
 * Section 5 of the design: a cure at one instant (`at`, ms since 1970), worked out from what was entered and never from a running clock.
 */
export const cureNow = (job: JobState, step: Step, around: Surroundings, at: number): CureNow | undefined => {
  const cure = step.cure;
  if (!cure) return undefined;
  const begun = cureBegun(job, cure, around);
  const column = columnOf(around, step.place ?? '');
  const counted = begun === undefined ? undefined : countedAt(column, cure, begun, at);
  const last = lastOf(column, at);
  let intervals: readonly Interval[] | undefined;
  return {
    ...(begun === undefined ? {} : { begun }),
    clockMs: begun === undefined ? 0 : Math.max(0, at - begun),
    until: cure.until,
    stages: cure.stages.map((stage) => stageNow(stage, cure, counted, last, at)),
    get intervals() {
      return (intervals ??= counted ? intervalsOf(counted) : []);
    },
    cells: (count) => (counted ? counted.cells(at, count) : []),
    ...(last ? { last: { ms: last.ms, temperature: last.temperature } } : {}),
  };
};

/** One stage of a cure step at one instant. @param at ms since 1970. */
export const stageOfCure = (
  job: JobState,
  cureStep: string,
  stage: string,
  around: Surroundings,
  at: number,
): StageNow | undefined => {
  const step = stepOf(job.plan, cureStep);
  return step && cureNow(job, step, around, at)?.stages.find((one) => one.stage === stage);
};
