import { own } from '../fault/own.ts';
import type { Step } from '../procedure/model.ts';
import { readingOf } from '../procedure/plan.ts';
import { decide } from '../quantity/decision.ts';
import type { JobState, StepState } from './state.ts';
import { limitsNow, valuesOf } from './values.ts';

const untouched: StepState = { state: 'todo', with: [], performers: [], acted: [], named: [], reopened: [] };

export const stepStateOf = (job: JobState, step: string): StepState => own(job.steps, step) ?? untouched;

/**
 * Whether a step is to be done in this job, by `only-if` and the latest values. While the reading that decides has no value, the step still
 * applies. A step of a new page that the builder decided not to do here does not apply.
 */
export const stepApplies = (job: JobState, step: Step): boolean => {
  if (job.laidAside.includes(step.step)) return false;
  if (!step.onlyIf) return true;
  const limits = limitsNow(job, step.onlyIf.is);
  const values = readingOf(job.plan, step.onlyIf.reading) ? valuesOf(job, step.onlyIf.reading) : [];
  if (!limits || values.length === 0) return true;
  return values.some((value) => decide(value, limits) === 'within');
};

/** Left for later, and not done since. A skipped step satisfies nothing. */
export const isSkipped = (job: JobState, step: Step): boolean => stepStateOf(job, step.step).state === 'skipped';

/** Left for later, and closed as not done: a departure. Nobody waits for it any more, and it satisfies nothing. */
export const isNotDone = (job: JobState, step: Step): boolean =>
  isSkipped(job, step) && stepStateOf(job, step.step).skip?.notDone !== undefined;

/** Left for later, and still to be done. */
export const isOwed = (job: JobState, step: Step): boolean => isSkipped(job, step) && !isNotDone(job, step);

/** The steps that this job walks, in order. */
export const walkedSteps = (job: JobState): readonly Step[] => job.plan.steps.filter((step) => stepApplies(job, step));
