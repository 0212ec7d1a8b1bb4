import { perform, stampOf, stepDraft, touch, voidReleases, type JobDraft } from '../draft.ts';
import type { EntryOf } from '../entry.ts';
import { leftOpen } from '../loose.ts';
import { finishRefusals } from '../refusals/finishing.ts';
import { takeUnless, stepNamed, type Act } from './act.ts';

const closeTag = (draft: JobDraft, tag: string, entry: EntryOf<'finish'>): void => {
  const item = draft.loose.find((one) => one.tag === tag);
  if (item && leftOpen(item) > 0) item.closings.push({ ...stampOf(entry), count: leftOpen(item) });
};

export const finishAct: Act<'finish'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    return step.ok ? takeUnless(ask, step.value, finishRefusals(ask.job, step.value, ask.moment)) : step;
  },
  evolve: (draft, entry, job) => {
    const id = entry.data.step;
    const state = stepDraft(draft, id);
    perform(draft, id, entry, entry.data.with);
    // Whoever released the work over a step that was left for later has not seen it.
    if (state.state === 'skipped') voidReleases(draft, job.plan, [id], entry);
    state.state = 'done';
    state.finished = stampOf(entry);
    state.made = stampOf(entry);
    if (state.skip) closeTag(draft, state.skip.tag, entry);
    touch(draft, id, entry);
  },
  words: (data) => `${data.step} finished`,
};
