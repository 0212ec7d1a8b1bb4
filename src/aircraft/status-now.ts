import { memoised } from '../fault/memo.ts';
import { jobStatusKept } from './lasting.ts';
import type { JobState } from '../job/state.ts';
import { jobOf, type BuildState } from './state.ts';
import { statusLater } from './status-later.ts';
import { statusOf, statusWith, type BuildStatus } from './status.ts';

/** The status at the last entry, worked out once for each state, and of most jobs only where something changed. */
const statusAtLast = memoised((state: BuildState) => statusWith(state, (id) => jobStatusKept(state, id)));

/** The jobs with a cure that runs, in the order in which they were started. */
export const curingJobs = memoised((state: BuildState): readonly JobState[] => {
  const curing = new Set(statusAtLast(state).jobs.flatMap(({ id, cures }) => (cures.length > 0 ? [id] : [])));
  return state.jobOrder.filter((id) => curing.has(id)).flatMap((id) => jobOf(state, id) ?? []);
});

/**
 * `statusOf` for whoever asks many times a second, as a screen does, or in a build of years: worked out once for a state, and adapted to the
 * later instant.
 * @param at ms since 1970.
 */
export const statusNow = (state: BuildState, at: number): BuildStatus =>
  // Where the clock is behind the last entry, the status at that entry cannot be used.
  at < state.lastAt ? statusOf(state, at) : statusLater(statusAtLast(state), at);
