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

const worked = new WeakMap<BuildState, { readonly at: number; readonly status: BuildStatus }>();

/** `statusOf` for whoever asks again and again, as a screen does: worked out once for a state, and then told again later. */
export const statusNow = (state: BuildState, at: number): BuildStatus => {
  if (at < state.lastAt) return statusOf(state, at); // the clock stands behind the last entry: nothing is to be built on that
  const known = worked.get(state);
  if (known !== undefined && known.at <= at) return statusLater(known.status, at);
  const status = statusOf(state, at);
  worked.set(state, { at, status });
  return status;
};
