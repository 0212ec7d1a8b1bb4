import { msOf } from '../job/cure.ts';
import { jointsOf } from '../job/joints.ts';
import type { Batch, FastenerAct, JobState, Logged, Stamp } from '../job/state.ts';
import { resultNow } from '../job/values.ts';
import { stepStateOf } from '../job/step-state.ts';
import type { Result, Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { printQuantity } from '../quantity/quantity.ts';
import type { Ground } from './over.ts';
import { jobsOf, type BuildState } from './state.ts';
import { own } from '../fault/own.ts';

type RestKind = 'lot' | 'batch' | 'joint' | 'value' | 'result' | 'fastener' | 'sample' | 'cure' | 'stage';

/** One thing that depends directly on what is traced. */
export interface Rest {
  readonly kind: RestKind;
  readonly job: string;
  readonly step: string;
  readonly title: string;
  /** The thing in words, for a person. */
  readonly what: string;
  readonly entry?: string;
  readonly when?: string;
  readonly by?: string;
  readonly batch?: string;
  /** The entry after which the thing no longer counts: it was taken apart, or replaced. */
  readonly setAside?: string;
}

const rest = (
  job: JobState,
  step: Step | undefined,
  kind: RestKind,
  what: string,
  stamp?: Pick<Stamp, 'entry' | 'when' | 'by'>,
  more: { readonly batch?: string; readonly superseded?: string | undefined } = {},
): Rest => ({
  kind,
  job: job.id,
  step: step?.step ?? '',
  title: step?.title ?? job.plan.title,
  what,
  ...(stamp ? { entry: stamp.entry, when: stamp.when, by: stamp.by } : {}),
  ...(more.batch === undefined ? {} : { batch: more.batch }),
  ...(more.superseded === undefined ? {} : { setAside: more.superseded }),
});

const pairs = (map: Readonly<Record<string, string>>): string =>
  Object.entries(map)
    .map(([name, value]) => `${name} ${value}`)
    .join(', ');

const where = (position: string | undefined): string => (position === undefined ? '' : ` at ${position}`);

/** The values entered at a joint while the batch was in use. */
const valuesOfJoint = (job: JobState, step: Step, batch: Batch): readonly Rest[] =>
  step.readings.flatMap(({ reading }) =>
    (own(job.tries, reading) ?? [])
      .filter((one) => msOf(one.when) >= msOf(batch.when) && one.superseded === batch.superseded)
      .map((one) =>
        rest(job, step, 'value', `${reading}${where(one.position)} ${one.value}`, one, {
          batch: batch.batch,
          superseded: one.superseded,
        }),
      ),
  );

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
  return [rest(job, step, 'joint', `joint ${stands}`, joint, more), ...valuesOfJoint(job, step, batch)];
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

/** Jobs that used a lot. Mixes name their lots themselves; a sealant or a cloth is known only by this. */
export const lotRests = (state: BuildState, material: string, number: string): readonly Rest[] =>
  jobsOf(state).flatMap((job) =>
    job.lots
      .filter((lot) => lot.material === material && lot.number === number)
      .map((lot) =>
        rest(job, undefined, 'lot', `${material}${lot.part === undefined ? '' : ` (${lot.part})`} named for use`, lot),
      ),
  );

const actText = (act: FastenerAct): string =>
  pairs(
    Object.fromEntries(
      [
        ['torque', act.torque],
        ['finger-tight', act.fingerTight],
        ['past', act.past],
        ['drag', act.drag],
      ].flatMap(([name, value]) => (name === undefined || value === undefined ? [] : [[name, value]])),
    ),
  );

/** Results calculated from any of these readings, and results calculated from those results. */
const resultsFrom = (job: JobState, readings: readonly string[]): readonly { step: Step; result: Result }[] => {
  const ids = new Set(readings);
  return job.plan.steps.flatMap((step) =>
    step.results.flatMap((result) => {
      if (!Object.values(result.from).some((input) => input.kind === 'id' && ids.has(input.id))) return [];
      ids.add(result.result);
      return [{ step, result }];
    }),
  );
};

const valuesWith = (job: JobState, tool: string): readonly Rest[] =>
  job.plan.steps.flatMap((step) => [
    ...step.readings.flatMap(({ reading }) =>
      (own(job.tries, reading) ?? [])
        .filter((one) => one.tool === tool)
        .map((one) => rest(job, step, 'value', `${reading}${where(one.position)} ${one.value}`, one, one)),
    ),
    ...(own(job.fasteners, step.step) ?? [])
      .filter((act) => act.tool === tool)
      .map((act) => rest(job, step, 'fastener', `fastener ${act.fastener}: ${actText(act)}`, act, act)),
  ]);

/** What depends on one tool in one job: each value taken with it, and what was calculated from those values. */
export const toolRests = (job: JobState, tool: string): readonly Rest[] => {
  const read = Object.entries(job.tries).flatMap(([reading, tries]) =>
    tries.some((one) => one.tool === tool && one.superseded === undefined) ? [reading] : [],
  );
  return [
    ...valuesWith(job, tool),
    ...resultsFrom(job, read).flatMap(({ step, result }) => {
      const value = resultNow(job, result.result)?.quantity;
      return value ? [rest(job, step, 'result', `${result.result} ${printQuantity(value)}`)] : [];
    }),
  ];
};

/** The steps of a job that have a value taken with a tool, for finding what was built over them. */
export const groundsOfTool = (job: JobState, tool: string): readonly Ground[] =>
  job.plan.steps.flatMap((step) => {
    const taken = [
      ...step.readings.flatMap(({ reading }) => own(job.tries, reading) ?? []),
      ...(own(job.fasteners, step.step) ?? []),
    ].filter((one) => one.tool === tool && one.superseded === undefined);
    return taken.length === 0 ? [] : [{ job, step, from: Math.min(...taken.map((one) => msOf(one.when))) }];
  });
