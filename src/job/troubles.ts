import type { Step } from '../procedure/model.ts';
import { breachTroubles } from './breach.ts';
import { allTroubles } from './parts/all.ts';
import type { Trouble } from './parts/part.ts';
import type { JobState } from './state.ts';

/** Repair and use-as-is let a value pass, once somebody with the power has accepted it. `ask` only waits. */
const isCovered = (job: JobState, key: string): boolean =>
  job.dispositions.some(
    (disposition) =>
      (disposition.kind === 'repair' || disposition.kind === 'use-as-is') && disposition.covers.includes(key),
  );

/**
 * Everything of a step that is outside or undecided and that no disposition covers, and what was done in it although a rule refused it.
 */
export const troublesOf = (job: JobState, step: Step): readonly Trouble[] =>
  [...breachTroubles(job, step), ...allTroubles(job, step)].filter((trouble) => !isCovered(job, trouble.key));
