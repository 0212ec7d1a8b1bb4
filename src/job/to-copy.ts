import type { Reading } from '../procedure/model.ts';
import { resultOf } from '../procedure/plan.ts';
import { compareQuantities } from '../quantity/quantity.ts';
import { limitRefs } from '../quantity/limits.ts';
import { toBeWritten } from '../quantity/shown-limits.ts';
import { labelIn } from './labels.ts';
import type { JobState } from './state.ts';
import { limitsNow, numberOf, ownLimits } from './values.ts';

/** A value that the job has already and that a step asks to write, engrave or set elsewhere. */
export interface ToCopy {
  /** What it is: `Empty weight`. */
  readonly label: string;
  /** As it is to be written: rounded so that what is written lies within the reading's limits. */
  readonly text: string;
}

/**
 * The value that a reading copies: one whose limits are around a calculated result, or are a value above and nothing else. A value above
 * with room around it is another measurement, and is not shown before its own is taken.
 */
export const toCopy = (job: JobState, reading: Reading): ToCopy | undefined => {
  const limits = ownLimits(reading);
  const [id, ...more] = limits ? limitRefs(limits) : [];
  if (!limits || id === undefined || more.length > 0 || reading.blind) return undefined;
  const [fixed, value] = [limitsNow(job, limits), numberOf(job, id)];
  if (!value || !fixed?.low || !fixed.high) return undefined;
  const isExact = compareQuantities(fixed.low.at, fixed.high.at) === 0;
  if (!isExact && resultOf(job.plan, id) === undefined) return undefined;
  return { label: labelIn(job.plan, id), text: toBeWritten(value, fixed) };
};
