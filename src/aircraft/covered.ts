import { memoised } from '../fault/memo.ts';
import { msOf } from '../job/cure.ts';
import type { JobState } from '../job/state.ts';
import type { Stamp } from '../job/stamp.ts';
import { stepStateOf } from '../job/step-state.ts';
import type { Covering } from '../job/surroundings.ts';
import type { Step } from '../procedure/model.ts';
import type { Trait } from './jobs.ts';
import { jobsWith, type BuildState } from './state.ts';

interface Turn {
  readonly area: string;
  readonly made: Stamp;
  /** The step that covered the area; absent where it was uncovered. */
  readonly covering?: Covering;
}

/** The steps of a plan, or of its former pages, that cover an area or uncover one. Most plans have none. */
const turning = memoised((steps: readonly Step[]): readonly Step[] =>
  steps.filter(({ covers, uncovers }) => covers.length > 0 || uncovers.length > 0),
);

/** When steps of a job covered an area or uncovered it, as far as that work has not been taken apart since. */
const turnsIn = (job: JobState): readonly Turn[] =>
  [...turning(job.former), ...turning(job.plan.steps)].flatMap((step) => {
    const { made } = stepStateOf(job, step.step);
    if (!made) return [];
    const covering = { job: job.id, step: step.step, when: made.when };
    return [
      ...step.covers.map((area) => ({ area, made, covering })),
      ...step.uncovers.filter((area) => !step.covers.includes(area)).map((area) => ({ area, made })),
    ];
  });

/** The job has covered an area or uncovered one. */
export const turnsAreas: Trait = { letter: 't', isByFile: false, holds: (job) => turnsIn(job).length > 0 };

/** Later by the time when it happened, then by when it was written; of two at one instant, the one that is listed later. */
const isLater = ({ made: one }: Turn, { made: other }: Turn): boolean => {
  const happened = msOf(one.when) - msOf(other.when);
  return happened === 0 ? msOf(one.at) >= msOf(other.at) : happened > 0;
};

/** The latest turn of each area, from one pass over the jobs that have any: asking job by job would go through all of them for each. */
const latestTurns = memoised((state: BuildState): ReadonlyMap<string, Turn> => {
  const latest = new Map<string, Turn>();
  for (const turn of jobsWith(state, turnsAreas).flatMap(turnsIn)) {
    const last = latest.get(turn.area);
    if (last === undefined || isLater(turn, last)) latest.set(turn.area, turn);
  }
  return latest;
});

/** The step, of any job, that has covered an area which nobody has uncovered since; `undefined` where the area can be reached. */
export const coveringOf = (state: BuildState, area: string): Covering | undefined =>
  latestTurns(state).get(area)?.covering;
