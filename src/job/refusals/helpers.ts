import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import { idsOrNames, isNameOf } from '../people.ts';
import type { JobState } from '../state.ts';

/** How many helpers are needed beside whoever acts, and how many have been named. */
export interface HelperCount {
  /** The steps to which one act commits everybody. The step with the most `people` counts. */
  readonly steps: readonly Step[];
  /** How many helpers are needed. */
  readonly needed: number;
  /**
   * How many are named: with this act, or at a mix, begin or finish since the last interruption. The person who acts is not counted as a
   * helper.
   */
  readonly named: number;
}

/** `people: N` means N−1 helpers besides the person who acts. @param byDefault how many people a step needs where it does not say. */
const helperCount = (
  job: JobState,
  steps: readonly Step[],
  { by, with: names, around }: Moment,
  byDefault: number,
): HelperCount => {
  const needed = Math.max(...steps.map((step) => step.people ?? byDefault), 1) - 1;
  const people = Object.values(around.people);
  const others = [...job.helpers, ...names].filter((typed) => !isNameOf(people, typed, by));
  return { steps, needed, named: idsOrNames(people, others).length };
};

/** Where something permanent begins, a step without `people` needs as many people as the head of the procedure says. */
export const helpersToOpen = (job: JobState, step: Step, moment: Moment): HelperCount =>
  helperCount(job, [step], moment, job.plan.people);

/** A mix commits to every step that needs its glue wet, so the helpers for all of them must be there before the glue is on. */
export const helpersToMix = (job: JobState, step: Step, moment: Moment): HelperCount => {
  const wet = job.plan.steps.filter((one) => one === step || one.inPotLifeOf.includes(step.step));
  return helperCount(job, wet, moment, job.plan.people);
};

/** At the finish, only the step's own `people` counts. */
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
