import { err, usage } from '../../fault/fault.ts';
import { asPerformer, redo, reopenJob } from '../draft.ts';
import { performerRefusals } from '../refusals/power.ts';
import { dependentSteps } from '../rework.ts';
import type { StepState } from '../state.ts';
import { stepStateOf } from '../step-state.ts';
import { takeUnless, stepNamed, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

type Reopened = StepState['reopened'][number];

/** Takes finished work apart again. */
export const undoAct: Act<'undo'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    if (!step.ok) return step;
    const { state, begun } = stepStateOf(ask.job, step.value.step);
    if (state === 'todo' && !begun)
      return err(usage('not-begun', `${step.value.step} has not been begun`, 'there is nothing to undo'));
    return takeUnless(ask, step.value, performerRefusals(ask.moment), {
      told: [`${step.value.step} is open again; what leaned on it too`],
    });
  },
  evolve: (draft, entry, job) => {
    const { step: id, because } = entry.data;
    asPerformer(draft, id, entry);
    redo(draft, job.plan, dependentSteps(job, id), entry, because);
    reopenJob(draft, entry);
  },
  words: (data) => `${data.step} undone`,
  correct: correctsItem<'undo', Reopened>(
    {
      items: ({ steps }) => Object.values(steps).flatMap(({ reopened }) => reopened),
      names: { because: 'because' },
    },
    { bare: () => 'because', otherwise: 'what is taken apart is done again; finish the steps' },
  ),
};
