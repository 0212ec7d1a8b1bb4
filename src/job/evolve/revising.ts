import { castDraft, produce } from 'immer';
import type { Plan } from '../../procedure/plan.ts';
import { listOf, mapOf, textOf, type Entry } from '../entry.ts';
import { revisedTo } from '../revised.ts';
import type { JobState, Move, Resolution, ResolutionKind } from '../state.ts';
import { reopen, stampOf, stepDraft, voidReleases, type JobDraft } from './draft.ts';
import { own } from '../../fault/own.ts';

/** Open again, and whatever was released of it is void. */
const openAgain = (draft: JobDraft, plan: Plan, steps: readonly string[], entry: Entry, because: string): void => {
  for (const step of steps) {
    const state = stepDraft(draft, step);
    if (state.state === 'todo') continue;
    reopen(state, entry, because);
    for (const look of own(draft.looks, step) ?? []) if (look.kind === 'release') look.voided ??= entry.id;
  }
  voidReleases(draft, plan, steps, entry);
};

/** The job on its new plan: entries in their places, and open again what the entry says does not stand. */
export const evolveMove = (job: JobState, entry: Entry, plan: Plan): JobState => {
  const sha256 = textOf(entry.data, 'sha256') ?? '';
  const { job: carried, names } = revisedTo(job, plan, sha256, mapOf(entry.data, 'renamed'));
  const reopened = listOf(entry.data, 'reopens');
  const move: Move = {
    ...stampOf(entry),
    revision: plan.revision,
    sha256,
    from: { revision: job.revision, sha256: job.sha256 },
    before: job.plan,
    renamed: names,
    reopened,
  };
  return produce({ ...carried, sha256 }, (draft) => {
    draft.moves.push(castDraft(move));
    openAgain(draft, plan, reopened, entry, `revision ${plan.revision}`);
  });
};

export const evolveResolve = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const step = textOf(entry.data, 'step');
  const reason = textOf(entry.data, 'reason');
  const resolution: Resolution = {
    ...stampOf(entry),
    on: textOf(entry.data, 'change') ?? '',
    kind: (textOf(entry.data, 'as-what') ?? 'record-only') as ResolutionKind,
    revision: textOf(entry.data, 'revision') ?? '',
    sha256: textOf(entry.data, 'sha256') ?? '',
    covers: listOf(entry.data, 'covers'),
    ...(step === undefined ? {} : { step }),
    ...(reason === undefined ? {} : { reason }),
  };
  draft.resolutions.push(castDraft(resolution));
  const aside = listOf(entry.data, 'lays-aside').filter((id) => job.plan.steps.some((one) => one.step === id));
  draft.laidAside = [...new Set([...draft.laidAside, ...aside])].filter(
    (id) => resolution.kind !== 'comply' || id !== step,
  );
  openAgain(draft, job.plan, listOf(entry.data, 'reopens'), entry, `to comply with ${resolution.covers.join('; ')}`);
};
