import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { printInstant } from '../../quantity/time.ts';
import { stageOfCure } from '../cure.ts';
import type { Moment } from '../moment.ts';
import { potLifeNow } from '../potlife.ts';
import type { Batch, JobState } from '../state.ts';
import { clockRefusals } from './clock.ts';

/** With `after-stage`, a step waits for a stage of each cure that it names. */
export const stageRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  if (!step.afterStage) return [];
  const { cures, stage } = step.afterStage;
  const waiting = cures.find((cure) => stageOfCure(job, cure, stage, moment.around, moment.ms)?.reached !== true);
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

/** A sample may be broken once the stage that its step names is reached. */
export const sampleRefusals = (job: JobState, batch: Batch, moment: Moment): readonly Refusal[] => {
  const { steps } = job.plan;
  const stage = steps.find((step) => step.break?.of.includes(batch.step))?.break?.notBefore;
  const cure = steps.find(
    (step) => step.cure?.of.includes(batch.step) && step.cure.stages.some((one) => one.stage === stage),
  );
  const now = stage !== undefined && cure ? stageOfCure(job, cure.step, stage, moment.around, moment.ms) : undefined;
  return now === undefined || now.reached
    ? []
    : [
        ...clockRefusals(moment),
        refusal(
          'cure-not-reached',
          `the sample is broken from ${stage ?? ''} on, which is not reached`,
          'wait, and log the temperature',
        ),
      ];
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
