import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { printDuration } from '../../quantity/time.ts';
import { cureNow } from '../cure.ts';
import { stageWords } from '../stage-words.ts';
import type { Moment } from '../moment.ts';
import { clockRefusals } from '../refusals/clock.ts';
import type { JobState } from '../state.ts';
import { nothingToSetAside, type JobPart } from './part.ts';

/** A cure step can be finished once the stage for which it waits is reached. */
const cureRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  const now = cureNow(job, step, moment.around, moment.ms);
  if (!now) return [];
  const stage = now.stages.find((one) => one.stage === now.until);
  const trouble = clockRefusals(moment);
  if (stage?.reached === true) return trouble;
  const counted = stage
    ? `counted ${stageWords(stage, printDuration)}, clock ${printDuration(now.clockMs)}`
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

/** Temperatures belong to a place and not to the job, so all that a job keeps of a cure is when its step was finished. */
export const jobCure: JobPart = {
  wants: () => [],
  refuses: cureRefusals,
  setAside: nothingToSetAside,
};
