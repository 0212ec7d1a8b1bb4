import type { Step } from '../procedure/model.ts';
import { cureNow, type StageNow } from './cure.ts';
import type { JobState } from './state.ts';
import type { Surroundings } from './surroundings.ts';

/** A stage of a cure as of an instant. */
export interface StageAsOf extends StageNow {
  /** When it was reached, ms since 1970; absent where it was not. */
  readonly reachedAt?: number;
}

/**
 * Each stage of a cure step as of an instant, by all that is known now, and when it was reached. Stages go on being counted after their
 * step is finished, from all temperatures of the place.
 * @param at ms since 1970.
 */
export const stagesAsOf = (job: JobState, step: Step, around: Surroundings, at: number): readonly StageAsOf[] => {
  const now = cureNow(job, step, around, at);
  const begun = now?.begun;
  if (now === undefined || begun === undefined) return now?.stages ?? [];
  const isReachedBy = (stage: string, ms: number): boolean =>
    cureNow(job, step, around, ms)?.stages.some((one) => one.stage === stage && one.reached) === true;
  return now.stages.map((stage) => {
    if (!stage.reached) return stage;
    // What has counted never shrinks from one instant to the next, so the first instant is found by halving.
    let [before, reachedAt] = [begun, at];
    while (reachedAt - before > 1) {
      const middle = before + Math.floor((reachedAt - before) / 2);
      if (isReachedBy(stage.stage, middle)) reachedAt = middle;
      else before = middle;
    }
    return { ...stage, reachedAt };
  });
};
