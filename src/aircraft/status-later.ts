import { memoised } from '../fault/memo.ts';
import { parseInstant, printInstant } from '../quantity/time.ts';
import type { BuildState } from './state.ts';
import { statusOf, type BuildStatus } from './status.ts';

const notBefore = (forecast: string, at: number): string => {
  const read = parseInstant(forecast);
  return read.ok && read.value.ms >= at ? forecast : printInstant(at, 0);
};

/**
 * The same build's status at a later instant, ms, when nothing was entered in between. Only a forecast moves with the clock:
 * what should have been ready by now is ready now at the earliest. So `statusOf(s, b)` is `statusLater(statusOf(s, a), b)`
 * for every b ≥ a ≥ the last entry, which a test holds.
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

/** The status at the last entry, worked out once for a state. */
const statusAtLast = memoised((state: BuildState) => statusOf(state, state.lastAt));

/** `statusOf` for whoever asks again and again, as a screen does: worked out once for a state, and told again later. */
export const statusNow = (state: BuildState, at: number): BuildStatus =>
  // A clock that is behind the last entry can build on nothing that was worked out at that entry.
  at < state.lastAt ? statusOf(state, at) : statusLater(statusAtLast(state), at);
