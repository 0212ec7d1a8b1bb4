import { printQuantity } from '../quantity/quantity.ts';
import type { Step } from '../procedure/model.ts';
import { cureNow, type Interval } from './cure.ts';
import { goodBatches } from './potlife.ts';
import type { JobState } from './state.ts';
import type { Surroundings } from './surroundings.ts';

/** A stretch of time that a running cure does not count, though temperatures were entered at both of its ends. */
export interface Uncounted {
  readonly step: Step;
  readonly interval: Interval;
}

/**
 * What a new temperature closes without its counting, in the running cures of a job: the stretches that end after `from` and not after `to`.
 * All instants are ms since 1970.
 */
export const uncountedBetween = (
  job: JobState,
  around: Surroundings,
  place: string,
  { from, to }: { readonly from: number; readonly to: number },
  now: number,
): readonly Uncounted[] =>
  job.plan.steps.flatMap((step) => {
    if (!step.cure || (step.place ?? '') !== place || goodBatches(job, step.cure.of).length === 0) return [];
    const cure = cureNow(job, step, around, now);
    if (cure?.begun === undefined) return [];
    return cure.intervals
      .filter((interval) => !interval.counted && interval.to > from && interval.to <= to)
      .map((interval) => ({ step, interval }));
  });

/** Whether a cure of a job counts what was entered of a place up to an instant (`to`). Both instants are ms since 1970. */
export const countsAt = (job: JobState, around: Surroundings, place: string, to: number, now: number): boolean =>
  job.plan.steps.some((step) => {
    if (!step.cure || (step.place ?? '') !== place) return false;
    const begun = cureNow(job, step, around, now)?.begun;
    return begun !== undefined && begun <= to;
  });

/** Why it does not count: `15 °C, below 18 °C`, `over 12 h without a temperature`. */
export const uncountedWhy = ({ cure }: Step, { why, temperature }: Interval): string => {
  if (why === 'below the floor' && cure) return `${temperature}, below ${printQuantity(cure.floor)}`;
  if (why === 'too long without a reading')
    return `over ${cure?.readingEvery?.text ?? 'too long'} without a temperature`;
  return why ?? '';
};
