import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import type { JobState } from '../state.ts';
import { isSkipped } from '../step-state.ts';
import { neededAbove } from '../needs.ts';
import { currentStep, stepInOrder } from '../where.ts';

const turnRefusals = (job: JobState, step: Step): readonly Refusal[] => {
  const current = currentStep(job);
  if (current === step || stepInOrder(job) === step || isSkipped(job, step)) return [];
  const what = current
    ? `the open step is ${current.step}, not ${step.step}`
    : `every step is finished; ${step.step} is not open`;
  const todo = current
    ? `go on with ${current.step}; a value already entered is corrected, finished work is undone`
    : 'correct a value, or undo the step';
  return [refusal('out-of-order', what, todo)];
};

/** A step waits with the steps that it needs, as long as one of them is left for later. */
export const needRefusals = (job: JobState, step: Step): readonly Refusal[] =>
  neededAbove(job, step).map(({ step: needed, tag, isNotDone }) =>
    refusal(
      'out-of-order',
      `${step.step} needs ${needed.step}, which ${isNotDone ? 'is entered as not done' : `was left for later (${tag})`}`,
      `do ${needed.step} now, or leave ${step.step} for later too`,
    ),
  );

/** Rule 1 of the design: steps in order. A step that was left for later may be done at any time after its turn. */
export const orderRefusals = (job: JobState, step: Step): readonly Refusal[] => [
  ...turnRefusals(job, step),
  ...needRefusals(job, step),
];
