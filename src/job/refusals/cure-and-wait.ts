import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { printDuration, printInstant } from '../../quantity/time.ts';
import { cureNow, knownMs } from '../cure.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import { stepStateOf, walkedSteps } from '../step-state.ts';
import type { Surroundings } from '../surroundings.ts';
import { clockRefusals } from './clock.ts';

/** A cure is finished once the stage that its step waits for is reached. */
export const cureRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  const now = cureNow(job, step, moment.around, moment.ms);
  if (!now) return [];
  const stage = now.stages.find((one) => one.stage === now.until);
  const trouble = clockRefusals(moment);
  if (stage?.reached === true) return trouble;
  const counted = stage
    ? `${printDuration(stage.countedMs)} counted of ${printDuration(now.clockMs)} on the clock`
    : 'nothing counted';
  return [
    ...trouble,
    refusal(
      'cure-not-reached',
      `${step.step} has not reached ${now.until}: ${counted}`,
      'wait, and log the temperature; there is no early finish',
    ),
  ];
};

/**
 * A plain wait runs from the begin or, where none was written, from the finish of the step before; ms. Where the stamp of that is in doubt
 * it runs from when the clock was believed again: Infinity while it is not.
 */
export const waitFrom = (job: JobState, step: Step, around: Surroundings): number => {
  const begun = stepStateOf(job, step.step).begun;
  if (begun?.explicit === true) return knownMs(begun, around);
  const walked = walkedSteps(job);
  const before = walked.slice(0, walked.indexOf(step)).findLast((one) => stepStateOf(job, one.step).finished);
  return knownMs((before && stepStateOf(job, before.step).finished) ?? job.started, around);
};

export const waitRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  if (!step.wait) return [];
  const until = waitFrom(job, step, moment.around) + step.wait.ms;
  const isKnown = until !== Infinity;
  return [
    ...clockRefusals(moment),
    ...(isKnown && moment.ms < until
      ? [
          refusal(
            'wait',
            `${step.step} waits ${step.wait.text}, until ${printInstant(until, moment.offset)}`,
            'come back then',
          ),
        ]
      : []),
  ];
};
