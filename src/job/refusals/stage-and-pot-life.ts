import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { printInstant } from '../../quantity/time.ts';
import { stageOfCure, type StageNow } from '../cure.ts';
import type { Moment } from '../moment.ts';
import { potLifeNow } from '../potlife.ts';
import type { Batch, JobState } from '../state.ts';
import { clockRefusals } from './clock.ts';

/** The first cure that a step waits for with `after-stage`. */
const cureAwaited = (job: JobState, { afterStage }: Step, { around, ms }: Moment): string | undefined =>
  afterStage?.cures.find((cure) => stageOfCure(job, cure, afterStage.stage, around, ms)?.reached !== true);

/** With `after-stage`, a step waits for a stage of each cure that it names. */
export const stageRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  const stage = step.afterStage?.stage ?? '';
  const waiting = cureAwaited(job, step, moment);
  return waiting === undefined
    ? []
    : [
        ...clockRefusals(moment),
        refusal(
          'cure-not-reached',
          `${step.step} waits for ${stage} of ${waiting}, which is not reached`,
          'wait, and log the temperature',
        ),
      ];
};

/** The stage from which the sample of a batch may be broken; `undefined` where its step names none. */
const stageOfSample = (job: JobState, batch: Pick<Batch, 'step'>, { around, ms }: Moment): StageNow | undefined => {
  const { steps } = job.plan;
  const stage = steps.find((step) => step.break?.of.includes(batch.step))?.break?.notBefore;
  const cure = steps.find(
    (step) => step.cure?.of.includes(batch.step) && step.cure.stages.some((one) => one.stage === stage),
  );
  return stage !== undefined && cure ? stageOfCure(job, cure.step, stage, around, ms) : undefined;
};

/** A sample may be broken once the stage that its step names is reached. */
export const sampleRefusals = (job: JobState, batch: Batch, moment: Moment): readonly Refusal[] => {
  const now = stageOfSample(job, batch, moment);
  return now === undefined || now.reached
    ? []
    : [
        ...clockRefusals(moment),
        refusal(
          'cure-not-reached',
          `the sample is broken from ${now.stage} on, which is not reached`,
          'wait, and log the temperature',
        ),
      ];
};

/** The stage of a cure for which a step, or the sample that is broken in it, still waits. */
export const stageAwaited = (job: JobState, step: Step, moment: Moment): StageNow | undefined => {
  const cure = cureAwaited(job, step, moment);
  if (cure !== undefined) return stageOfCure(job, cure, step.afterStage?.stage ?? '', moment.around, moment.ms);
  return job.batches
    .filter((batch) => step.break?.of.includes(batch.step) && batch.sample !== undefined && !batch.sample.broken)
    .map((batch) => stageOfSample(job, batch, moment))
    .find((stage) => stage?.reached === false);
};

/** A step within a pot life is neither opened nor finished once the pot life is over. */
export const potLifeRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  const life = potLifeNow(job, step.inPotLifeOf, moment.around, moment.ms);
  if (!life) return [];
  return [
    ...clockRefusals(moment),
    ...(moment.ms > life.ends
      ? [
          refusal(
            'pot-life-over',
            `the pot life of ${life.batch} ended at ${printInstant(life.ends, moment.offset)}`,
            `discard ${life.batch} and mix again, or depart from it with its reason (depart pot-life-over)`,
          ),
        ]
      : []),
  ];
};
