import { msOf } from '../../job/cure.ts';
import { jointsOf } from '../../job/joints.ts';
import type { Batch, JobState, Logged } from '../../job/state.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { stepOf } from '../../procedure/plan.ts';
import { groundsOfBatch } from '../over.ts';
import { pairs, rest, valuesAt, type Rest } from './rest.ts';
import type { Trail } from './trail.ts';

const sampleRest = (job: JobState, batch: Batch): readonly Rest[] => {
  // A batch that was discarded owes no sample.
  if (!batch.sample || (batch.discarded && !batch.sample.broken)) return [];
  const { id, broken } = batch.sample;
  const step = job.plan.steps.find((one) => one.break?.of.includes(batch.step)) ?? stepOf(job.plan, batch.step);
  const remark = broken?.remark === undefined ? '' : `: ${broken.remark}`;
  const what = broken ? `sample ${id} ${broken.result}${remark}` : `sample ${id} not broken yet`;
  return [rest(job, step, 'sample', what, broken, { batch: batch.batch })];
};

/** The cure of a batch, and the steps that waited for one of its stages. */
const curesOf = (job: JobState, batch: Batch): readonly Rest[] => {
  if (batch.superseded !== undefined || batch.discarded) return [];
  const cures = job.plan.steps.filter((step) => step.cure?.of.includes(batch.step)).map((step) => step.step);
  return job.plan.steps.flatMap((step) => {
    const { state, finished } = stepStateOf(job, step.step);
    if (state !== 'done' || !finished) return [];
    if (cures.includes(step.step))
      return [rest(job, step, 'cure', `cured to ${step.cure?.until ?? ''}`, finished, { batch: batch.batch })];
    return step.afterStage?.cures.some((cure) => cures.includes(cure)) === true
      ? [rest(job, step, 'stage', `waited for ${step.afterStage.stage}`, finished, { batch: batch.batch })]
      : [];
  });
};

const jointRest = (job: JobState, batch: Batch, joint: Logged): readonly Rest[] => {
  const step = stepOf(job.plan, joint.step ?? '');
  if (!step) return [];
  const stands = joint.type === 'finish' ? 'finished' : 'begun';
  const more = { batch: batch.batch, superseded: batch.superseded };
  const isDuring = (one: { readonly when: string; readonly superseded?: string }): boolean =>
    msOf(one.when) >= msOf(batch.when) && one.superseded === batch.superseded;
  return [rest(job, step, 'joint', `joint ${stands}`, joint, more), ...valuesAt(job, step, isDuring, batch.batch)];
};

/** What depends on one batch: the batch itself, its joints and their values, its cure and its sample. */
export const batchRests = (job: JobState, batch: Batch): readonly Rest[] => {
  const lots = Object.keys(batch.lots).length > 0 ? `, lots ${pairs(batch.lots)}` : '';
  const thrown = batch.discarded ? `, discarded: ${batch.discarded.because}` : '';
  const more = { batch: batch.batch, superseded: batch.superseded };
  return [
    rest(
      job,
      stepOf(job.plan, batch.step),
      'batch',
      `${batch.batch}: ${pairs(batch.weights)}${lots}${thrown}`,
      batch,
      more,
    ),
    ...jointsOf(job, batch).flatMap((joint) => jointRest(job, batch, joint)),
    ...curesOf(job, batch),
    ...sampleRest(job, batch),
  ];
};

/** The batches of a job, each known by its number and by that of its sample. */
export const batchTrails = (job: JobState): readonly Trail[] =>
  job.batches.map((batch) => ({
    of: { kind: 'batch', batch: batch.batch, job: job.id },
    names: [batch.batch, ...(batch.sample && !batch.discarded ? [batch.sample.id] : [])],
    rests: batchRests(job, batch),
    grounds: groundsOfBatch(job, batch),
  }));
