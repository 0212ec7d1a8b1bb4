import { memoised } from '../fault/memo.ts';
import type { JobState } from '../job/state.ts';
import { isNotDone, isSkipped, walkedSteps } from '../job/step-state.ts';
import { troublesOf } from '../job/troubles.ts';
import { currentStep, isDone, placeMark } from '../job/where.ts';
import type { Step } from '../procedure/model.ts';

/** One step of a job as it is now. */
export interface StepNow {
  readonly step: Step;
  readonly is: 'left' | 'not-done' | 'done' | 'open' | 'todo';
  /** A value of it is outside its limits or undecided. */
  readonly isTroubled: boolean;
}

interface StepsNow {
  readonly steps: readonly StepNow[];
  readonly open: Step | undefined;
  /** Where the open step is among `steps`; -1 where none is open. */
  readonly at: number;
  readonly place: ReturnType<typeof placeMark>;
}

/** The steps of a job as they are. Every key draws them, and only an entry changes them: worked out once for each state of the job. */
export const stepsNow = memoised((job: JobState): StepsNow => {
  const open = currentStep(job);
  const steps = walkedSteps(job).map((step): StepNow => {
    const isTroubled = troublesOf(job, step).length > 0;
    if (isSkipped(job, step) && step !== open)
      return { step, is: isNotDone(job, step) ? 'not-done' : 'left', isTroubled };
    return { step, is: isDone(job, step) ? 'done' : step === open ? 'open' : 'todo', isTroubled };
  });
  return { steps, open, at: steps.findIndex(({ step }) => step === open), place: placeMark(job) };
});
