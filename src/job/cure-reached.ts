import type { Step } from '../procedure/model.ts';
import { cureNow } from './cure.ts';
import type { JobState } from './state.ts';
import type { Surroundings } from './surroundings.ts';

/** The first of some rising values for which a condition holds; the condition, once it holds, goes on holding. */
const firstOf = (count: number, holds: (index: number) => boolean): number => {
  let [low, high] = [0, count];
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
};

/**
 * The instant at which a stage of a cure was reached, ms since 1970; `undefined` where it was not by `until` (ms since 1970). What counted
 * never counts less later, so the instant is found by halving: first among the ends of the intervals, then within one of them.
 */
export const stageReachedAt = (
  job: JobState,
  step: Step,
  stage: string,
  around: Surroundings,
  until: number,
): number | undefined => {
  const isReached = (at: number): boolean =>
    cureNow(job, step, around, at)?.stages.find((one) => one.stage === stage)?.reached === true;
  const now = cureNow(job, step, around, until);
  if (now?.begun === undefined || !isReached(until)) return undefined;
  const ends = [now.begun, ...now.intervals.map(({ to }) => to)];
  const end = firstOf(ends.length, (index) => isReached(ends[index] ?? until));
  const [from, to] = [ends[end - 1] ?? now.begun, ends[end] ?? until];
  return from + firstOf(Math.ceil(to - from), (ms) => isReached(from + ms));
};
