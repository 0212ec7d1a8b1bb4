import { err, usage } from '../../fault/fault.ts';
import { pendingOf } from '../breach.ts';
import { perform, reopenJob, stampOf, touch } from '../draft.ts';
import { sampleRefusals } from '../refusals/stage-and-pot-life.ts';
import { currentStep } from '../where.ts';
import { takeUnless, type Act } from './act.ts';
import { sampleNamed } from './batch-asked.ts';

/** A sample is broken once the cure has reached the stage that its step names. The result is recorded whatever it is. */
export const breakAct: Act<'break'> = {
  decide: (ask) => {
    const batch = sampleNamed(ask.job, ask.data.sample);
    if (!batch.ok) return batch;
    if (batch.value.sample?.broken)
      return err(usage('already-broken', `the sample ${batch.value.sample.id} is broken already`, 'enter a remark'));
    return takeUnless(ask, undefined, sampleRefusals(ask.job, batch.value, ask.moment), {
      told: ask.data.result === 'failed' ? [`every joint of ${batch.value.batch} is in doubt: dispose it`] : [],
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
    const current = currentStep(job);
    const step = current?.break ? current.step : batch.step;
    perform(draft, step, entry);
    touch(draft, step, entry);
    if (result === 'failed') reopenJob(draft, entry);
  },
  words: (data) => `${data.sample} ${data.result}`,
};
