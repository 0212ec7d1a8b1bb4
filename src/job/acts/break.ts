import { err, usage, ok } from '../../fault/fault.ts';
import { stepOfBreak } from '../ahead-said.ts';
import { pendingOf } from '../breach.ts';
import { perform, reopenJob, stampOf, touch, voidReleases } from '../draft.ts';
import { jointsOf } from '../joints.ts';
import type { Batch } from '../state.ts';
import { sampleRefusals } from '../refusals/stage-and-pot-life.ts';
import { nothingOpen, takeUnless, type Act, type Foreseen, type Intended } from './act.ts';
import { sampleNamed } from './batch-asked.ts';

const inDoubt = (batch: string): string => `every joint of ${batch} is in doubt: dispose it`;

const brokenBy = <B extends Pick<Batch, 'sample'>>(
  { batches }: { readonly batches: readonly B[] },
  target: string,
): B | undefined => batches.find(({ sample }) => sample?.broken?.entry === target);

const foresee = ({ job, moment, data }: Intended<'break'>): Foreseen => {
  const batch = sampleNamed(job, data.sample ?? '');
  return { step: undefined, refusals: batch.ok ? sampleRefusals(job, batch.value, moment) : [] };
};

/** A sample is broken once the cure has reached the stage that its step names. The result is recorded whatever it is. */
export const breakAct: Act<'break'> = {
  foresee,
  decide: (ask) => {
    const batch = sampleNamed(ask.job, ask.data.sample);
    if (!batch.ok) return batch;
    if (batch.value.sample?.broken)
      return err(usage('already-broken', `the sample ${batch.value.sample.id} is broken already`, 'enter a remark'));
    return takeUnless(ask, undefined, foresee({ ...ask, open: nothingOpen }).refusals, {
      told: ask.data.result === 'failed' ? [inDoubt(batch.value.batch)] : [],
    });
  },
  evolve: (draft, entry, job) => {
    const { sample: id, result, remark } = entry.data;
    const batch = draft.batches.findLast(
      (one) => one.sample !== undefined && (one.sample.id === id || one.batch === id),
    );
    if (!batch?.sample) return;
    batch.sample.broken = {
      ...stampOf(entry),
      ...pendingOf(entry),
      result,
      ...(remark === undefined ? {} : { remark }),
    };
    const step = stepOfBreak(job, id) ?? batch.step;
    perform(draft, step, entry);
    touch(draft, step, entry);
    if (result === 'failed') reopenJob(draft, entry);
  },
  words: (data) => `${data.sample} ${data.result}`,
  correct: {
    fields: ['sample', 'result', 'remark'],
    bare: () => 'result',
    said: (job, target) => {
      const sample = brokenBy(job, target)?.sample;
      const { result, remark } = sample?.broken ?? {};
      return sample && result && { sample: sample.id, result, ...(remark === undefined ? {} : { remark }) };
    },
    judge: ({ job }, { target, now }) => {
      const meant = sampleNamed(job, now.sample ?? '');
      if (!meant.ok) return meant;
      const { sample, batch } = meant.value;
      if (sample?.broken && sample.broken.entry !== target)
        return err(usage('already-broken', `the sample ${sample.id} is broken already`, 'correct its own entry'));
      return ok({ told: now.result === 'failed' ? [inDoubt(batch)] : [] });
    },
    put: (draft, { target, now, entry }, job) => {
      const { sample: old } = brokenBy(draft, target) ?? {};
      const meant = draft.batches.findLast(({ batch, sample }) => sample?.id === now.sample || batch === now.sample);
      if (!old?.broken || !meant?.sample) return;
      const { remark: _was, ...stamp } = old.broken;
      delete old.broken;
      const { result = stamp.result, remark } = now;
      meant.sample.broken = { ...stamp, result, ...(remark === undefined ? {} : { remark }) };
      const batch = job.batches.find((one) => one.batch === meant.batch);
      for (const breach of draft.breaches)
        if (breach.entry === target)
          Object.assign(breach, { on: meant.sample.id, batch: meant.batch, mix: meant.step });
      // What was released over a joint that is in doubt now was released without knowing it.
      if (result === 'failed') {
        voidReleases(draft, job.plan, batch ? jointsOf(job, batch).flatMap(({ step }) => step ?? []) : [], entry);
        reopenJob(draft, entry);
      }
    },
    steps: (job, target) => {
      const batch = brokenBy(job, target);
      const at = job.plan.steps.filter((step) => batch && step.break?.of.includes(batch.step)).map(({ step }) => step);
      return batch ? [...at, batch.step] : [];
    },
  },
};
