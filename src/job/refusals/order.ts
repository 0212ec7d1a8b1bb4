import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import type { JobState } from '../state.ts';
import { isSkipped } from '../step-state.ts';
import { currentStep } from '../where.ts';

/** Rule 1 of the design: steps in order. A step that was left for later may be done at any time after its turn. */
export const orderRefusals = (job: JobState, step: Step): readonly Refusal[] => {
  const current = currentStep(job);
  if (current === step || isSkipped(job, step)) return [];
  const what = current
    ? `the open step is ${current.step}, not ${step.step}`
    : `every step is finished; ${step.step} is not open`;
  const todo = current
    ? `go on with ${current.step}; a value already entered is corrected, finished work is undone`
    : 'correct a value, or undo the step';
  return [refusal('out-of-order', what, todo)];
};
