import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';

/**
 * `people: N` wants N−1 helpers beside whoever acts, named now or at a mix, begin or finish since the last interruption.
 * Counted over several steps where one act commits to all of them.
 */
const helperRefusals = (
  job: JobState,
  steps: readonly Step[],
  moment: Moment,
  peopleByDefault: number,
): readonly Refusal[] => {
  const needed = Math.max(...steps.map((step) => step.people ?? peopleByDefault), 1) - 1;
  const named = new Set([...job.helpers, ...moment.with]);
  named.delete(moment.by);
  return named.size >= needed
    ? []
    : [
        refusal(
          'helper-missing',
          `${steps.map((step) => step.step).join(', ')} needs ${needed} to lend a hand, ${named.size} named`,
          'call them first, then name them (with)',
        ),
      ];
};

/** Where something permanent begins, a step that says nothing of people wants as many as the procedure's head says. */
export const helpersToCommit = (job: JobState, steps: readonly Step[], moment: Moment): readonly Refusal[] =>
  helperRefusals(job, steps, moment, job.plan.people);

/** At the finish only what the step itself says counts. */
export const helpersToFinish = (job: JobState, step: Step, moment: Moment): readonly Refusal[] =>
  helperRefusals(job, [step], moment, 1);
