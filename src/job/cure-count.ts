import { memoised } from '../fault/memo.ts';
import type { Cure, CureStage } from '../procedure/model.ts';
import { ticksOver } from '../quantity/ticks.ts';
import { toBase } from '../quantity/quantity.ts';
import type { Spans } from './column-spans.ts';
import type { Column } from './column.ts';
import { lastUpTo } from './temperatures.ts';

/** Why an interval does not count; the first reason that applies. */
export const whyNot = ['', 'the clock was in doubt', 'below the floor', 'too long without a reading'] as const;
export type WhyNot = 0 | 1 | 2 | 3;

/**
 * What decides how much of an interval counts: the floor, the longest time between readings, and every temperature at which the rate
 * changes.
 */
export interface CureLimits {
  /** The lowest temperature that counts, in ticks (ninths of a nanokelvin). */
  readonly floor: number;
  /** The longest time between two readings that counts, ms; Infinity where the procedure sets none. */
  readonly longest: number;
  /** In ticks, rising. */
  readonly steps: Float64Array;
}

export const limitsOf = memoised((cure: Cure): CureLimits => {
  const points = cure.stages.flatMap((stage) => stage.points.map((point) => ticksOver(toBase(point.at))));
  return {
    floor: ticksOver(toBase(cure.floor)),
    longest: cure.readingEvery?.ms ?? Infinity,
    steps: Float64Array.from(new Set(points)).sort(),
  };
});

/** Why a span does not count, as an index of `whyNot`. @param span index from 0. */
const whyNotOf = ({ cold, gap, doubted }: Spans, limits: CureLimits, span: number): WhyNot => {
  if (doubted[span] === 1) return 1;
  if ((cold[span] ?? 0) < limits.floor) return 2;
  return (gap[span] ?? 0) > limits.longest ? 3 : 0;
};

/**
 * Visits every span from `begun` to `at` (both ms since 1970). `from` and `to` are in ms since 1970, `cold` in ticks, and `span` is the
 * span's index. Time before the first and after the last reading is in no span, unless a max-min thermometer speaks of it.
 */
export const eachInterval = (
  { spans }: Column,
  limits: CureLimits,
  begun: number,
  at: number,
  visit: (from: number, to: number, cold: number, why: WhyNot, span: number) => void,
): void => {
  const { ms, cold } = spans;
  for (let span = Math.max(1, lastUpTo(ms, begun) + 1); span < ms.length; span += 1) {
    const from = Math.max(ms[span - 1] ?? 0, begun);
    const to = Math.min(ms[span] ?? 0, at);
    if (from >= at) return;
    if (to > from) visit(from, to, cold[span] ?? 0, whyNotOf(spans, limits, span), span);
  }
};

/** Counted milliseconds in each band of temperature between two `steps`; the first band is colder than all of them. */
export type Bands = Float64Array;

/** Counts every stage in one exact pass, in whole milliseconds. `begun` and `at` are ms since 1970. */
export const countBands = (column: Column, limits: CureLimits, begun: number, at: number): Bands => {
  const { steps } = limits;
  const bands = new Float64Array(steps.length + 1);
  eachInterval(column, limits, begun, at, (from, to, cold, why) => {
    if (why !== 0) return;
    let band = 0;
    while (band < steps.length && (steps[band] ?? Infinity) <= cold) band += 1;
    bands[band] = (bands[band] ?? 0) + (to - from);
  });
  return bands;
};

/**
 * The counted milliseconds of a stage at each of its points. Between two points the colder one counts; above the hottest, the hottest one.
 */
export const atPoints = (stage: CureStage, { steps }: CureLimits, bands: Bands): readonly number[] => {
  const points = stage.points.map((point) => ticksOver(toBase(point.at)));
  const times = points.map(() => 0);
  for (const [index, step] of steps.entries()) {
    const point = points.findLastIndex((one) => one <= step);
    if (point >= 0) times[point] = (times[point] ?? 0) + (bands[index + 1] ?? 0);
  }
  return times;
};
