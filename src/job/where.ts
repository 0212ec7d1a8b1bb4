import type { Step } from '../procedure/model.ts';
import { readingOf } from '../procedure/plan.ts';
import { decide } from '../quantity/decision.ts';
import type { JobState, StepState } from './state.ts';
import { limitsNow, valuesOf } from './values.ts';
import { troublesOf } from './verdicts.ts';
import { own } from '../fault/own.ts';

const untouched: StepState = { state: 'todo', with: [], performers: [], reopened: [] };

export const stepStateOf = (job: JobState, step: string): StepState => own(job.steps, step) ?? untouched;

/**
 * `only-if`, decided on the latest values: a step whose reading has no value yet still applies. A step of a new page that the
 * builder decided is not done here does not.
 */
export const stepApplies = (job: JobState, step: Step): boolean => {
  if (job.laidAside.includes(step.step)) return false;
  if (!step.onlyIf) return true;
  const limits = limitsNow(job, step.onlyIf.is);
  const values = readingOf(job.plan, step.onlyIf.reading) ? valuesOf(job, step.onlyIf.reading) : [];
  if (!limits || values.length === 0) return true;
  return values.some((value) => decide(value, limits) === 'within');
};

/** Finished, and still in order: a correction that puts a value outside opens the step again. */
export const isDone = (job: JobState, step: Step): boolean =>
  stepStateOf(job, step.step).state === 'done' && troublesOf(job, step).length === 0;

export const isSkipped = (job: JobState, step: Step): boolean => stepStateOf(job, step.step).state === 'skipped';

/** Steps that this job walks, in order: those whose `only-if` holds. */
export const walkedSteps = (job: JobState): readonly Step[] => job.plan.steps.filter((step) => stepApplies(job, step));

/** Rule 1: the one step that is open, the first that is neither finished nor left for later. */
export const currentStep = (job: JobState): Step | undefined =>
  job.plan.steps.find((step) => !isSkipped(job, step) && stepApplies(job, step) && !isDone(job, step));

/** Complete, and nothing since then has opened it again. */
export const isClosed = (job: JobState): boolean => job.completed !== undefined && job.reopened === undefined;

/** The place mark: `7 of 12`. */
export const placeMark = (job: JobState): { readonly number: number; readonly count: number } => {
  const walked = walkedSteps(job);
  const current = currentStep(job);
  const index = current ? walked.indexOf(current) : walked.length - 1;
  return { number: index + 1, count: walked.length };
};
