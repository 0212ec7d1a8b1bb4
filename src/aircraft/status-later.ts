import { memoised } from '../fault/memo.ts';
import { parseInstant, printInstant } from '../quantity/time.ts';
import type { BuildState } from './state.ts';
import { statusOf, type BuildStatus } from './status.ts';

/** `at` in ms since 1970. */
const notBefore = (forecast: string, at: number): string => {
  const read = parseInstant(forecast);
  return read.ok && read.value.ms >= at ? forecast : printInstant(at, 0);
};

/**
 * The same build's status at a later instant, in ms since 1970, when nothing was entered in between. Only forecasts change with the clock:
 * what should be ready by now is shown as ready now at the earliest. So `statusOf(s, b)` equals `statusLater(statusOf(s, a), b)` for every
 * b ≥ a ≥ the last entry. A test checks that.
 */
export const statusLater = (status: BuildStatus, at: number): BuildStatus => ({
  ...status,
  jobs: status.jobs.map((job) => ({
    ...job,
    cures: job.cures.map((cure) => ({
      ...cure,
      stages: cure.stages.map((stage) =>
        stage.forecast === undefined ? stage : { ...stage, forecast: notBefore(stage.forecast, at) },
      ),
    })),
  })),
});

/** The status at the last entry, worked out once for each state. */
const statusAtLast = memoised((state: BuildState) => statusOf(state, state.lastAt));

/**
 * `statusOf` for whoever asks many times a second, as a screen does: worked out once for a state, and adapted to the later instant.
 * @param at ms since 1970.
 */
export const statusNow = (state: BuildState, at: number): BuildStatus =>
  // Where the clock is behind the last entry, the status at that entry cannot be used.
  at < state.lastAt ? statusOf(state, at) : statusLater(statusAtLast(state), at);
