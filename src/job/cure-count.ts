import { memoised } from '../fault/memo.ts';
import type { Cure, CureStage } from '../procedure/model.ts';
import { ticksOver } from '../quantity/ticks.ts';
import { toBase } from '../quantity/quantity.ts';
import { isDoubtedBefore, type Column } from './column.ts';
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

/** The temperature at which the interval before a row (index from 0) counts, in ticks: its `lowest`, else the colder of its two ends. */
const coldBefore = ({ ticks, lowest }: Column, row: number): number => {
  const low = lowest[row] ?? NaN;
  return Number.isNaN(low) ? Math.min(ticks[row - 1] ?? 0, ticks[row] ?? 0) : low;
};

/** Why the interval before a row (index from 0) does not count, as an index of `whyNot`. @param cold the interval's temperature, ticks. */
const whyNotBefore = (column: Column, limits: CureLimits, row: number, cold: number): WhyNot => {
  if (isDoubtedBefore(column, row)) return 1;
  if (cold < limits.floor) return 2;
  const long = (column.ms[row] ?? 0) - (column.ms[row - 1] ?? 0) > limits.longest;
  return long && Number.isNaN(column.lowest[row] ?? NaN) ? 3 : 0;
};

/**
 * Visits every interval between two readings, from `begun` to `at` (both ms since 1970). `from` and `to` are in ms since 1970, `cold` in
 * ticks, and `row` is the row at the end. Time before the first and after the last reading is in no interval.
 */
export const eachInterval = (
  column: Column,
  limits: CureLimits,
  begun: number,
  at: number,
  visit: (from: number, to: number, cold: number, why: WhyNot, row: number) => void,
): void => {
  const { ms } = column;
  for (let row = Math.max(1, lastUpTo(ms, begun) + 1); row < ms.length; row += 1) {
    const from = Math.max(ms[row - 1] ?? 0, begun);
    const to = Math.min(ms[row] ?? 0, at);
    if (from >= at) return;
    if (to <= from) continue;
    const cold = coldBefore(column, row);
    visit(from, to, cold, whyNotBefore(column, limits, row, cold), row);
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
