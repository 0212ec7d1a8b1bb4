import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { coverers, provedBy } from '../ahead.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';

/** Nothing may be made permanent before it has been proved. */
export const proofRefusals = (job: JobState, step: Step, { around }: Moment): readonly Refusal[] =>
  step.sets
    .filter((feature) => provedBy(job, step, feature, around) === undefined)
    .map((feature) =>
      refusal(
        'proof-missing',
        `${step.step} makes ${feature} permanent, and nothing has proved it`,
        `finish a step that proves ${feature}, or depart from it first with its reason (depart proof-missing)`,
      ),
    );

/** Nothing may be covered that somebody must still reach. */
export const coverRefusals = (job: JobState, step: Step, { around }: Moment): readonly Refusal[] =>
  coverers(job, step, around).map(({ area, step: reacher, job: elsewhere }) =>
    refusal(
      'still-needed',
      `${step.step} covers ${area}, which ${reacher}${elsewhere === undefined ? '' : ` of ${elsewhere}`} must still reach`,
      `do ${reacher} first`,
    ),
  );
