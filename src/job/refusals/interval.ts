import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { printInstant } from '../../quantity/time.ts';
import { knownMs } from '../cure.ts';
import { departureFor } from '../departure.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import { isNotDone, stepStateOf, walkedSteps } from '../step-state.ts';
import { clockRefusals } from './clock.ts';

/** By when a step must be begun, and after which step. */
export interface Deadline {
  readonly after: string;
  /** The last instant at which the step may be begun, ms since 1970; Infinity while the clock is in doubt. */
  readonly by: number;
}

/**
 * The end of the longest interval before a step (`no-later-than`): of several steps that it comes after, the one that ends first.
 * `undefined` where the step has none, and while no such step is finished.
 */
export const deadlineOf = (
  job: JobState,
  { noLaterThan }: Step,
  { around }: Pick<Moment, 'around'>,
): Deadline | undefined => {
  if (!noLaterThan) return undefined;
  return noLaterThan.after
    .flatMap((after) => {
      const { finished } = stepStateOf(job, after);
      return finished ? [{ after, by: knownMs(finished, around) + noLaterThan.time.ms }] : [];
    })
    .reduce<Deadline | undefined>((first, next) => (!first || next.by < first.by ? next : first), undefined);
};

/** A step is begun within the longest interval after the steps before it. Begun in time, it may be finished. */
export const intervalRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  const deadline = deadlineOf(job, step, moment);
  if (!deadline) return [];
  const { after, by } = deadline;
  return [
    ...clockRefusals(moment),
    ...(by !== Infinity && moment.ms > by
      ? [
          refusal(
            'too-late',
            `${step.step} is begun within ${step.noLaterThan?.time.text ?? ''} of ${after}, by ${printInstant(by, moment.offset)}`,
            `undo ${after} and do it again as the manual says, or depart from it with its reason (depart too-late)`,
          ),
        ]
      : []),
  ];
};

/** The steps of a job that are still to be begun and have a last instant for it, in order. */
export const deadlinesOf = (
  job: JobState,
  moment: Pick<Moment, 'around'>,
): readonly (Deadline & { readonly step: Step })[] =>
  walkedSteps(job).flatMap((step) => {
    const { begun, state } = stepStateOf(job, step.step);
    const isOpen = begun === undefined && state !== 'done' && !isNotDone(job, step);
    const deadline = isOpen && !departureFor(job, 'too-late', step) ? deadlineOf(job, step, moment) : undefined;
    return deadline === undefined || deadline.by === Infinity ? [] : [{ step, ...deadline }];
  });
