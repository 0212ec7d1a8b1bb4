import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { openFindings, standingRelease } from '../hold.ts';
import type { JobState } from '../state.ts';

/** A hold wants its release; at a witness point the job may go on, and the record says whether they came. */
export const holdRefusals = (job: JobState, step: Step): readonly Refusal[] => {
  if (step.hold?.kind !== 'hold' || standingRelease(job, step.step)) return [];
  const open = openFindings(job, step.step).length;
  return [
    refusal(
      'hold-closed',
      `${step.step} is a hold point, and the hold is not released${open > 0 ? `: ${open} findings stand open` : ''}`,
      open > 0
        ? 'answer the findings, and have it looked at again'
        : `a person with the power ${step.hold.by} looks, and releases it with their own key`,
    ),
  ];
};
