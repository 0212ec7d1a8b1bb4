import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';

/** How many helpers are needed beside whoever acts, and how many have been named. */
export interface HelperCount {
  /** The steps that one act commits everybody to; for the greatest `people` among them. */
  readonly steps: readonly Step[];
  readonly needed: number;
  /** Named with this act, or at a mix, begin or finish since the last interruption; whoever acts does not help themself. */
  readonly named: number;
}

/** `people: N` wants N−1 helpers beside whoever acts. `byDefault`: the people for a step that does not say. */
const helperCount = (
  job: JobState,
  steps: readonly Step[],
  { by, with: names }: Moment,
  byDefault: number,
): HelperCount => {
  const needed = Math.max(...steps.map((step) => step.people ?? byDefault), 1) - 1;
  const named = new Set([...job.helpers, ...names]);
  named.delete(by);
  return { steps, needed, named: named.size };
};

/** Where something permanent begins, a step that does not say how many people it takes wants as many as the procedure's head says. */
export const helpersToOpen = (job: JobState, step: Step, moment: Moment): HelperCount =>
  helperCount(job, [step], moment, job.plan.people);

/** A mix commits to every step that needs it wet: everybody for all of them must be there before the glue is on. */
export const helpersToMix = (job: JobState, step: Step, moment: Moment): HelperCount => {
  const wet = job.plan.steps.filter((one) => one === step || one.inPotLifeOf.includes(step.step));
  return helperCount(job, wet, moment, job.plan.people);
};

/** At the finish only what the step itself says counts. */
export const helpersToFinish = (job: JobState, step: Step, moment: Moment): HelperCount =>
  helperCount(job, [step], moment, 1);

export const helperRefusals = ({ steps, needed, named }: HelperCount): readonly Refusal[] =>
  named >= needed
    ? []
    : [
        refusal(
          'helper-missing',
          `${steps.map((step) => step.step).join(', ')} needs ${needed} to lend a hand, ${named} named`,
          'call them first, then name them (with)',
        ),
      ];
