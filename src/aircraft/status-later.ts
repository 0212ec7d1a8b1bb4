import { memoised } from '../fault/memo.ts';
import { msOf } from '../job/cure.ts';
import { printInstant } from '../quantity/time.ts';
import type { BuildState } from './state.ts';
import { statusOf, type BuildStatus, type CureStatus } from './status.ts';

type Stage = CureStatus['stages'][number];

/** The stage with its forecast counted from a later instant. @param from ms since 1970. */
const forecastFrom = (stage: Stage, from: number): Stage =>
  stage.leftMs === undefined ? stage : { ...stage, forecast: printInstant(from + stage.leftMs, 0) };

/**
 * The same build's status at a later instant, in ms since 1970, when nothing was entered in between. Only forecasts change with the clock,
 * because they start now. So `statusOf(s, b)` equals `statusLater(statusOf(s, a), b)` for every b ≥ a ≥ the last entry. A test checks that.
 */
export const statusLater = (status: BuildStatus, at: number): BuildStatus => ({
  ...status,
  jobs: status.jobs.map((job) => ({
    ...job,
    cures: job.cures.map((cure) => {
      const from = Math.max(at, msOf(cure.begun));
      return { ...cure, stages: cure.stages.map((stage) => forecastFrom(stage, from)) };
    }),
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
