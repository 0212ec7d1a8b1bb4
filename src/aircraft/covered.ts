import { msOf } from '../job/cure.ts';
import type { JobState, Stamp } from '../job/state.ts';
import { stepStateOf } from '../job/step-state.ts';
import type { Covering } from '../job/surroundings.ts';
import { jobsOf, type BuildState } from './state.ts';

interface Turn {
  readonly made: Stamp;
  /** The step that covered the area; absent where it was uncovered. */
  readonly covering?: Covering;
}

/** When steps of a job covered an area or uncovered it, as far as that work has not been taken apart since. */
const turnsIn = (job: JobState, area: string): readonly Turn[] =>
  [...job.former, ...job.plan.steps].flatMap((step) => {
    const { made } = stepStateOf(job, step.step);
    if (!made) return [];
    if (step.covers.includes(area)) return [{ made, covering: { job: job.id, step: step.step, when: made.when } }];
    return step.uncovers.includes(area) ? [{ made }] : [];
  });

/** Later by the time when it happened, then by when it was written; of two at one instant, the one that is listed later. */
const isLater = ({ made: one }: Turn, { made: other }: Turn): boolean => {
  const happened = msOf(one.when) - msOf(other.when);
  return happened === 0 ? msOf(one.at) >= msOf(other.at) : happened > 0;
};

/** The step, of any job, that has covered an area which nobody has uncovered since; `undefined` where the area can be reached. */
export const coveringOf = (state: BuildState, area: string): Covering | undefined =>
  jobsOf(state)
    .flatMap((job) => turnsIn(job, area))
    .reduce<Turn | undefined>((last, turn) => (last === undefined || isLater(turn, last) ? turn : last), undefined)
    ?.covering;
