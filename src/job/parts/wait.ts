import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { printInstant } from '../../quantity/time.ts';
import { knownMs } from '../cure.ts';
import type { Moment } from '../moment.ts';
import { clockRefusals } from '../refusals/clock.ts';
import type { JobState } from '../state.ts';
import { stepStateOf, walkedSteps } from '../step-state.ts';
import type { Surroundings } from '../surroundings.ts';
import { nothingToSetAside, type JobPart } from './part.ts';

/**
 * When a waiting time began, ms since 1970: when the step was begun or, where nobody entered that, when the step before was finished. Where
 * that stamp is in doubt, not before the clock was set right; Infinity while nobody has set it right.
 */
export const waitFrom = (job: JobState, step: Step, around: Surroundings): number => {
  const begun = stepStateOf(job, step.step).begun;
  if (begun?.explicit === true) return knownMs(begun, around);
  const walked = walkedSteps(job);
  const before = walked.slice(0, walked.indexOf(step)).findLast((one) => stepStateOf(job, one.step).finished);
  return knownMs((before && stepStateOf(job, before.step).finished) ?? job.started, around);
};

const waitRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
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

/** A wait has its times from the step itself: when it was begun, and when it was finished. */
export const jobWait: JobPart = {
  wants: () => [],
  refuses: waitRefusals,
  setAside: nothingToSetAside,
};
