import type { Step } from '../procedure/model.ts';
import { cureNow, msOf, stageOfCure } from './cure.ts';
import type { JobState } from './state.ts';
import type { Stamp } from './stamp.ts';
import { stepStateOf } from './step-state.ts';
import type { Surroundings } from './surroundings.ts';

/** Work that rests on a stage of a cure which, by all that is known now, had not been reached then. */
interface Unreached {
  readonly on: string;
  readonly step: string;
  readonly key: string;
  readonly what: string;
  /** The finished cure that is itself a nonconformance, where its disposition is enough. */
  readonly cause?: string;
}

/** What was entered although a rule refused it is a nonconformance of its own. */
const isBreach = (job: JobState, { entry }: Stamp): boolean => job.breaches.some((breach) => breach.entry === entry);

const keyOfCure = (finished: Stamp): string => `cure ${finished.entry}`;

/** Whoever disposes of a cure that was finished too early has decided about all that rests on the stage for which it waits. */
const causeIn = (job: JobState, cure: string, stage: string, around: Surroundings): Pick<Unreached, 'cause'> => {
  const step = job.plan.steps.find((one) => one.step === cure);
  const { finished } = stepStateOf(job, cure);
  return step?.cure?.until === stage && finished && ofCure(job, step, around).length > 0
    ? { cause: keyOfCure(finished) }
    : {};
};

/** A cure that was finished. */
const ofCure = (job: JobState, step: Step, around: Surroundings): readonly Unreached[] => {
  const { state, finished } = stepStateOf(job, step.step);
  if (!step.cure || state !== 'done' || !finished) return [];
  const stage = cureNow(job, step, around, msOf(finished.when))?.stages.find((one) => one.stage === step.cure?.until);
  return stage === undefined || stage.reached
    ? []
    : [
        {
          on: step.step,
          step: step.step,
          key: keyOfCure(finished),
          what: `the cure ${step.step} had not reached ${stage.stage} when it was finished`,
        },
      ];
};

/** A step that waits for a stage (`after-stage`) and was begun. */
const ofWaiting = (job: JobState, step: Step, around: Surroundings): readonly Unreached[] => {
  const { begun } = stepStateOf(job, step.step);
  if (!step.afterStage || !begun || isBreach(job, begun)) return [];
  const { cures, stage } = step.afterStage;
  return cures
    .filter((cure) => stageOfCure(job, cure, stage, around, msOf(begun.when))?.reached === false)
    .map((cure) => ({
      on: step.step,
      step: step.step,
      key: `stage ${begun.entry} ${cure}`,
      what: `${cure} had not reached ${stage} when ${step.step} was begun`,
      ...causeIn(job, cure, stage, around),
    }));
};

/** A sample that was broken. */
const ofSamples = (job: JobState, step: Step, around: Surroundings): readonly Unreached[] => {
  const { of = [], notBefore } = step.break ?? {};
  if (notBefore === undefined) return [];
  return job.batches.flatMap(({ step: mix, sample, superseded, discarded }) => {
    const broken = sample?.broken;
    if (!broken || superseded !== undefined || discarded || !of.includes(mix) || isBreach(job, broken)) return [];
    const cure = job.plan.steps.find(
      (one) => one.cure?.of.includes(mix) && one.cure.stages.some(({ stage }) => stage === notBefore),
    );
    const now = cure && stageOfCure(job, cure.step, notBefore, around, msOf(broken.when));
    return cure === undefined || now === undefined || now.reached
      ? []
      : [
          {
            on: sample.id,
            step: step.step,
            key: `sample ${broken.entry} before ${notBefore}`,
            what: `the sample ${sample.id} was broken before ${notBefore} was reached`,
            ...causeIn(job, cure.step, notBefore, around),
          },
        ];
  });
};

/**
 * What a late reading or a correction took back: finished cures, steps begun after a stage, and samples broken after one, where the stage
 * had not been reached at that instant.
 */
export const unreached = (job: JobState, walked: readonly Step[], around: Surroundings): readonly Unreached[] =>
  walked.flatMap((step) => [
    ...ofCure(job, step, around),
    ...ofWaiting(job, step, around),
    ...ofSamples(job, step, around),
  ]);
