import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { coverers, provedBy } from '../ahead.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import type { Covering } from '../surroundings.ts';

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

/** Where a step must reach an area that is covered, and does not uncover it itself. */
export const coveringsOver = (
  job: JobState,
  step: Step,
  { around }: Pick<Moment, 'around'>,
): readonly (Covering & { readonly area: string })[] =>
  step.reaches
    .filter((area) => !step.uncovers.includes(area))
    .flatMap((area) => {
      const covering = around.coveredBy(area);
      const isOwn = covering?.job === job.id && covering.step === step.step;
      return covering === undefined || isOwn ? [] : [{ ...covering, area }];
    });

/** Rule 12 of the design: what is covered is not reached until a step uncovers it, or the covering is undone. */
export const coveredRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] =>
  coveringsOver(job, step, moment).map(({ area, step: cover, job: other }) => {
    const of = other === job.id ? '' : ` of ${other}`;
    return refusal(
      'covered',
      `${step.step} must reach ${area}, which ${cover}${of} has covered`,
      `finish a step that uncovers ${area}, or undo ${cover}${of}; or depart from it with its reason (depart covered)`,
    );
  });

/** Nothing may be covered that somebody must still reach. */
export const coverRefusals = (job: JobState, step: Step, { around }: Moment): readonly Refusal[] =>
  coverers(job, step, around).map(({ area, step: reacher, job: elsewhere }) =>
    refusal(
      'still-needed',
      `${step.step} covers ${area}, which ${reacher}${elsewhere === undefined ? '' : ` of ${elsewhere}`} must still reach`,
      `do ${reacher} first`,
    ),
  );
