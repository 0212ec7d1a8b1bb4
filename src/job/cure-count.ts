import { memoised } from '../fault/memo.ts';
import type { Cure, CureStage } from '../procedure/model.ts';
import { ticksOver } from '../quantity/ticks.ts';
import { toBase } from '../quantity/quantity.ts';
import { isDoubtedBefore, type Column } from './column.ts';
import { lastUpTo } from './temperatures.ts';

/** Why an interval counts nothing; the first that fits. */
export const whyNot = ['', 'the clock was in doubt', 'below the floor', 'too long without a reading'] as const;
export type WhyNot = 0 | 1 | 2 | 3;

/** What a cure counts by: its floor, the longest time between two readings, and every temperature at which its rate changes. */
export interface CureLimits {
  readonly floor: number;
  readonly longest: number;
  /** Ticks, rising. */
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

/** The temperature at which the interval before a row counts: its `lowest`, else the colder of its two ends. */
const coldBefore = ({ ticks, lowest }: Column, row: number): number => {
  const low = lowest[row] ?? NaN;
  return Number.isNaN(low) ? Math.min(ticks[row - 1] ?? 0, ticks[row] ?? 0) : low;
};

const whyNotBefore = (column: Column, limits: CureLimits, row: number, cold: number): WhyNot => {
  if (isDoubtedBefore(column, row)) return 1;
  if (cold < limits.floor) return 2;
  const long = (column.ms[row] ?? 0) - (column.ms[row - 1] ?? 0) > limits.longest;
  return long && Number.isNaN(column.lowest[row] ?? NaN) ? 3 : 0;
};

/** What falls between two readings, from the beginning of a cure to an instant; before the first and after the last nothing does. */
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

/** Counted milliseconds between two steps of the temperature: first what is colder than all of them. */
export type Bands = Float64Array;

/** One exact pass: whole milliseconds in whole numbers, for every stage at once. */
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

/** The counted time of a stage at each of its points: between two points the colder one's, above the hottest the hottest one's. */
export const atPoints = (stage: CureStage, { steps }: CureLimits, bands: Bands): readonly number[] => {
  const points = stage.points.map((point) => ticksOver(toBase(point.at)));
  const times = points.map(() => 0);
  for (const [index, step] of steps.entries()) {
    const point = points.findLastIndex((one) => one <= step);
    if (point >= 0) times[point] = (times[point] ?? 0) + (bands[index + 1] ?? 0);
  }
  return times;
};
