import { memoisedFrozen } from '../fault/memo.ts';
import type { Step } from '../procedure/model.ts';
import type { JobState } from './state.ts';
import { isOwed, isSkipped, stepApplies, stepStateOf, walkedSteps } from './step-state.ts';
import { troublesOf } from './troubles.ts';

/** Finished, and still within its limits: a correction that puts a value outside opens the step again. */
export const isDone = (job: JobState, step: Step): boolean =>
  stepStateOf(job, step.step).state === 'done' && troublesOf(job, step).length === 0;

/** A hold point is never passed over, also where the step became one after it was left for later. */
const isPassedOver = (job: JobState, step: Step): boolean => isSkipped(job, step) && step.hold?.kind !== 'hold';

/** Rule 1 of the design: the next step in order, which is the first that is neither finished nor left for later. */
export const stepInOrder = memoisedFrozen((job: JobState): Step | undefined =>
  job.plan.steps.find((step) => !isPassedOver(job, step) && stepApplies(job, step) && !isDone(job, step)),
);

/**
 * The one open step: a step that was left for later and has been taken up again, else the next in order. Once nothing else is open, the
 * steps left for later have their turn.
 */
export const currentStep = (job: JobState): Step | undefined => {
  const left = job.plan.steps.filter((step) => isSkipped(job, step) && stepApplies(job, step));
  const takenUp = left.find((step) => stepStateOf(job, step.step).begun !== undefined);
  return takenUp ?? stepInOrder(job) ?? left.find((step) => isOwed(job, step));
};

/** Ended although its steps are not finished: started by mistake, or its work was scrapped whole. */
export const isWithdrawn = (job: JobState): boolean => job.withdrawn !== undefined;

/** Complete, and not opened again since. A withdrawn job is never complete. */
export const isClosed = (job: JobState): boolean =>
  job.completed !== undefined && job.reopened === undefined && !isWithdrawn(job);

/** No work is left to do in the job: it is complete, or it was withdrawn. */
export const isOver = (job: JobState): boolean => isClosed(job) || isWithdrawn(job);

/** The place of the open step among those that the job walks: `7 of 12`. @param current the open step, where it is known already. */
export const placeMark = (
  job: JobState,
  current = currentStep(job),
): { readonly number: number; readonly count: number } => {
  const walked = walkedSteps(job);
  const index = current ? walked.indexOf(current) : walked.length - 1;
  return { number: index + 1, count: walked.length };
};

export const isInterrupted = ({ interruptions }: JobState): boolean => {
  const last = interruptions.at(-1);
  return last !== undefined && last.resumed === undefined;
};

/** Parked, and not taken up again. */
export const isParked = (job: JobState): boolean => {
  const park = job.parks.at(-1);
  return park !== undefined && park.ended === undefined;
};
