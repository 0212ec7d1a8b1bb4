import { stepOf } from '../procedure/plan.ts';
import { permanentOpenedBy } from './ahead-said.ts';
import { stampOf, stepDraft, type JobDraft } from './draft.ts';
import type { EntryOf } from './entry.ts';
import type { JobState } from './state.ts';

/** Keeps with each permanent step what was shown before it. */
export const keepAhead = (draft: JobDraft, job: JobState, entry: EntryOf<'begin' | 'mix'>): void => {
  const { step: id, ahead } = entry.data;
  const step = stepOf(job.plan, id);
  if (ahead === undefined || step === undefined) return;
  for (const one of permanentOpenedBy(job, step))
    stepDraft(draft, one.step).ahead = { ...stampOf(entry as Parameters<typeof stampOf>[0]), shown: [...ahead] };
};
