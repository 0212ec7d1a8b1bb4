import { err, ok, usage } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { redo, reopenJob, stampOf, touch, voidReleases, type JobDraft } from '../draft.ts';
import type { Entry } from '../entry.ts';
import { gluedWith } from '../joints.ts';
import { goodBatches } from '../potlife.ts';
import { dependentSteps } from '../rework.ts';
import type { Batch, JobState } from '../state.ts';
import type { Stamp } from '../stamp.ts';
import { takeUnless, type Act } from './act.ts';
import { batchNamed } from './batch-asked.ts';
import type { Correctable } from './correctable.ts';

/** The steps that are done anew where a batch is thrown away that was used: those in its pot life, and all that depend on them. */
const undoneWith = (job: JobState, batch: Batch): ReturnType<typeof dependentSteps> => {
  const all = gluedWith(job, batch).flatMap(({ step }) => dependentSteps(job, step));
  return job.plan.steps.filter((step) => all.includes(step));
};

/** Throws a batch away. What was made with it is open again, and so is a finished mix step without any good batch left. */
const throwAway = (
  draft: JobDraft,
  job: JobState,
  id: string,
  stamp: Stamp & { readonly because: string },
  entry: Entry,
): void => {
  const [batch, was] = [draft.batches.find((one) => one.batch === id), job.batches.find((one) => one.batch === id)];
  if (!batch || !was) return;
  touch(draft, batch.step, entry);
  batch.discarded ??= { ...stamp };
  const undone = was.discarded ? [] : undoneWith(job, was);
  if (undone.length > 0) {
    redo(draft, job.plan, undone, entry, `${id} was discarded: ${stamp.because}`);
    reopenJob(draft, entry);
  }
  const hasGood = goodBatches(draft as JobState, [batch.step]).length > 0;
  const state = own(draft.steps, batch.step);
  if (hasGood || !state || state.state !== 'done') return;
  state.state = 'todo';
  delete state.finished;
  state.reopened.push({ ...stampOf(entry), because: 'the last good batch was thrown away' });
  voidReleases(draft, job.plan, [batch.step], entry);
};

const openAgain = (job: JobState, batch: Batch): readonly string[] => {
  const undone = batch.discarded ? [] : undoneWith(job, batch).map(({ step }) => step);
  return undone.length === 0 ? [] : [`open again, because ${batch.batch} was used: ${undone.join(', ')}`];
};

const thrownBy = ({ batches }: JobState, target: string): Batch | undefined =>
  batches.find(({ discarded }) => discarded?.entry === target);

/** A batch that was thrown away by a slip counts again. What was opened for it stays open until somebody finishes it. */
const correctedDiscard: Correctable<'discard'> = {
  fields: ['batch', 'because'],
  bare: () => 'because',
  said: (job, target) => {
    const batch = thrownBy(job, target);
    return batch?.discarded && { batch: batch.batch, because: batch.discarded.because };
  },
  judge: ({ job }, { was, now }) => {
    const batch = batchNamed(job, now.batch ?? '');
    if (!batch.ok || now.batch === was.batch) return batch.ok ? ok({}) : batch;
    return batch.value.discarded
      ? err(usage('value-unreadable', `${batch.value.batch} is discarded already`, 'name the batch that was meant'))
      : ok({ told: openAgain(job, batch.value) });
  },
  put: (draft, { target, was, now, entry }, job) => {
    const batch = draft.batches.find(({ discarded }) => discarded?.entry === target);
    const { batch: id = '', because = '' } = now;
    if (!batch?.discarded) return;
    const stamp = { ...batch.discarded, because };
    if (id === was.batch) {
      batch.discarded = stamp;
      return;
    }
    delete batch.discarded;
    throwAway(draft, job, id, stamp, entry);
  },
  steps: (job, target) => [thrownBy(job, target)?.step].filter((step) => step !== undefined),
};

/** A batch is discarded, used or not. */
export const discardAct: Act<'discard'> = {
  decide: (ask) => {
    const batch = batchNamed(ask.job, ask.data.batch);
    return batch.ok ? takeUnless(ask, undefined, [], { told: openAgain(ask.job, batch.value) }) : batch;
  },
  evolve: (draft, entry, job) => {
    const { batch, because } = entry.data;
    throwAway(draft, job, batch, { ...stampOf(entry), because }, entry);
  },
  words: (data) => `${data.batch} discarded`,
  correct: correctedDiscard,
};
