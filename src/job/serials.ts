import type { GatheredPart, Step } from '../procedure/model.ts';
import type { JobState, PartFitted } from './state.ts';
import { walkedSteps } from './step-state.ts';

/** Serial numbers of one part that are still to be named. */
export interface SerialsOwed {
  readonly need: GatheredPart;
  /** How many are missing, of how many. */
  readonly owed: number;
  readonly of: number;
  /** The steps of the job that name the part. */
  readonly steps: readonly Step[];
}

/** Parts that are built in now: those of work that was taken apart no longer count. */
export const fittedNow = (job: Pick<JobState, 'fitted'>, part: string, step?: string): readonly PartFitted[] =>
  job.fitted.filter(
    (one) => one.part === part && one.superseded === undefined && (step === undefined || one.step === step),
  );

const stepsWith = (job: JobState, part: string): readonly Step[] =>
  walkedSteps(job).filter((step) => step.parts.includes(part));

const withSerials = (job: JobState): readonly GatheredPart[] => job.plan.gather.parts.filter((need) => need.serial);

/**
 * How many serial numbers of a part a step needs. Where one step alone names the part, all of them go in there; where several do, at least
 * one each.
 */
const neededIn = (job: JobState, { part, quantity = 1 }: GatheredPart): number =>
  stepsWith(job, part).length > 1 ? 1 : quantity;

/** Serial numbers that are missing at a step. */
export const serialsOwedIn = (job: JobState, step: Step): readonly SerialsOwed[] =>
  withSerials(job)
    .filter(({ part }) => step.parts.includes(part))
    .map((need): SerialsOwed => {
      const of = neededIn(job, need);
      return { need, of, owed: of - fittedNow(job, need.part, step.step).length, steps: [step] };
    })
    .filter(({ owed }) => owed > 0);

/** Serial numbers that are missing in the whole job. */
export const serialsOwed = (job: JobState): readonly SerialsOwed[] =>
  withSerials(job)
    .map((need): SerialsOwed => {
      const steps = stepsWith(job, need.part);
      const of = Math.max(need.quantity ?? 1, steps.length);
      return { need, of, owed: of - fittedNow(job, need.part).length, steps };
    })
    .filter(({ owed }) => owed > 0);

/** The step where the next part of this number goes in: the open step or else the first one, among those that still lack one. */
export const stepForPart = (job: JobState, part: string, open: Step | undefined): string | undefined => {
  const steps = stepsWith(job, part).toSorted((a, b) => Number(b === open) - Number(a === open));
  const need = job.plan.gather.parts.find((one) => one.part === part);
  const lacking = need && steps.find((step) => fittedNow(job, part, step.step).length < neededIn(job, need));
  return (lacking ?? steps[0])?.step;
};
