import { refusal, type Refusal } from '../../fault/fault.ts';
import type { JobState } from '../state.ts';
import { verbSpec, type JobVerb } from '../verbs.ts';
import { isClosed, isWithdrawn } from '../where.ts';

/** Nothing is entered in a withdrawn job, and only what looks back in a complete one. */
export const overRefusals = (job: JobState, verb: JobVerb): readonly Refusal[] => {
  if (isWithdrawn(job))
    return [refusal('job-closed', `${job.id} is withdrawn`, 'nothing is entered in it; start the procedure again')];
  return isClosed(job) && verbSpec(verb).untilComplete === true
    ? [refusal('job-closed', `${job.id} is complete`, 'correct, undo or remark; or start the procedure again')]
    : [];
};
