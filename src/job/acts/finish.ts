import { castDraft } from 'immer';
import type { Step } from '../../procedure/model.ts';
import { perform, stampOf, stepDraft, touch, voidReleases, type JobDraft } from '../draft.ts';
import type { DerivedOf, EntryOf } from '../entry.ts';
import { sheetFor } from '../gate.ts';
import { leftOpen } from '../loose.ts';
import { finishRefusals } from '../refusals/finishing.ts';
import { takeUnless, stepNamed, type Act, type AskedJob } from './act.ts';

const closeTag = (draft: JobDraft, tag: string, entry: EntryOf<'finish'>): void => {
  const item = draft.loose.find((one) => one.tag === tag);
  if (item && leftOpen(item) > 0) item.closings.push({ ...stampOf(entry), count: leftOpen(item) });
};

/** The step that passes a gate carries the gate sheet as it is at that instant. */
const passing = (
  { job, moment }: AskedJob,
  step: Step,
): { readonly data?: DerivedOf<'finish'>; readonly told?: readonly string[] } => {
  if (step.gate === undefined) return {};
  const sheet = sheetFor(job, step, step.gate, moment.around);
  const told = sheet.excepted.map(
    ({ what, because, by }) => `passed with an exception: ${what}; because ${because} (${by})`,
  );
  return { data: { 'gate-sheet': sheet }, told };
};

export const finishAct: Act<'finish'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    if (!step.ok) return step;
    return takeUnless(ask, step.value, finishRefusals(ask.job, step.value, ask.moment), passing(ask, step.value));
  },
  evolve: (draft, entry, job) => {
    const id = entry.data.step;
    const state = stepDraft(draft, id);
    perform(draft, id, entry, entry.data.with);
    // Whoever released the work over a step that was left for later has not seen it.
    if (state.state === 'skipped') voidReleases(draft, job.plan, [id], entry);
    state.state = 'done';
    const sheet = entry.data['gate-sheet'];
    state.finished = castDraft({ ...stampOf(entry), ...(sheet === undefined ? {} : { sheet }) });
    state.made = stampOf(entry);
    if (state.skip) closeTag(draft, state.skip.tag, entry);
    touch(draft, id, entry);
  },
  words: (data) => `${data.step} finished`,
};
