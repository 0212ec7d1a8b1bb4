import { own } from '../../fault/own.ts';
import { stampOf, touch, voidReleases } from '../draft.ts';
import type { Batch } from '../state.ts';
import { isUsed } from '../potlife.ts';
import { takeUnless, type Act } from './act.ts';
import { batchNamed } from './batch-asked.ts';
import { correctsItem } from './correctable.ts';

type Discarded = NonNullable<Batch['discarded']>;

/** A batch is discarded. If it was used, it stays used. A finished mix step without any good batch left is open again. */
export const discardAct: Act<'discard'> = {
  decide: (ask) => {
    const batch = batchNamed(ask.job, ask.data.batch);
    return batch.ok ? takeUnless(ask, undefined, []) : batch;
  },
  evolve: (draft, entry, job) => {
    const batch = draft.batches.find((one) => one.batch === entry.data.batch);
    if (!batch) return;
    touch(draft, batch.step, entry);
    if (isUsed(job, batch.step)) return;
    batch.discarded ??= { ...stampOf(entry), because: entry.data.because };
    const hasGood = draft.batches.some(
      (one) => one.step === batch.step && one.inRatio && one.discarded === undefined && one.superseded === undefined,
    );
    const state = own(draft.steps, batch.step);
    if (hasGood || !state || state.state !== 'done') return;
    state.state = 'todo';
    delete state.finished;
    state.reopened.push({ ...stampOf(entry), because: 'the last good batch was thrown away' });
    voidReleases(draft, job.plan, [batch.step], entry);
  },
  words: (data) => `${data.batch} discarded`,
  correct: correctsItem<'discard', Discarded>(
    {
      items: ({ batches }) => batches.flatMap(({ discarded }) => discarded ?? []),
      names: { because: 'because' },
      steps: ({ entry }, { batches }) =>
        batches.filter(({ discarded }) => discarded?.entry === entry).map(({ step }) => step),
    },
    { bare: () => 'because', otherwise: 'mix another batch' },
  ),
};
