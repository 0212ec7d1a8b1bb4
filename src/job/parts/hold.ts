import { refusal, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { Step } from '../../procedure/model.ts';
import { openFindings, standingRelease, unanswered, wasInvited } from '../hold.ts';
import type { JobState } from '../state.ts';
import { withKeys, withStep, type JobPart } from './part.ts';

/** A hold point needs its release. At a witness point the job may go on, and the record says whether the witness came. */
const holdRefusals = (job: JobState, step: Step): readonly Refusal[] => {
  if (step.hold?.kind !== 'hold' || standingRelease(job, step.step)) return [];
  const [isRefused, toAnswer] = [openFindings(job, step.step).length > 0, unanswered(job, step.step)];
  const look = `a person with the power ${step.hold.by} looks, and releases it with their own key`;
  const what = `${step.step} is a hold point, and the hold is not released`;
  if (toAnswer.length > 0) {
    const numbers = toAnswer.map(({ number }) => number).join(', ');
    const still = `${what}: not answered yet: finding ${numbers}`;
    return [refusal('hold-closed', still, `answer it (answer ${toAnswer[0]?.number}); then ${look}`)];
  }
  return [
    refusal(
      'hold-closed',
      isRefused ? `${what}: every finding is answered, and nobody has released it since` : what,
      look,
    ),
  ];
};

export const jobHold: JobPart = {
  /** A witness point wants its invitation, unless a witness came. */
  wants: (job, step) =>
    step.hold?.kind === 'witness' && !wasInvited(job, step.step) && !standingRelease(job, step.step)
      ? [{ part: 'hold', invite: true, what: 'an invitation to the witness' }]
      : [],
  refuses: holdRefusals,
  setAside: (draft, step, entry) => {
    for (const look of own(draft.looks, step.step) ?? []) if (look.kind === 'release') look.voided ??= entry;
  },
  rekey: (job, rename) => ({ looks: withKeys(job.looks, rename), findings: withStep(job.findings, rename) }),
};
