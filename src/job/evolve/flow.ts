import type { Draft } from 'immer';
import type { Step } from '../../procedure/model.ts';
import { listOf, textOf, type Entry } from '../entry.ts';
import type { Disposition, DispositionKind, JobState } from '../state.ts';
import { leftOpen } from '../loose.ts';
import { dependentSteps, reworkSteps } from '../rework.ts';
import { perform, redo, reopenJob, stampOf, stepDraft, touch, type JobDraft } from './draft.ts';

const stepIn = (entry: Entry): string => textOf(entry.data, 'step') ?? '';

export const evolveBegin = (draft: JobDraft, entry: Entry): void => {
  perform(draft, stepIn(entry), entry, listOf(entry.data, 'with'), true);
  touch(draft, stepIn(entry), entry);
};

export const evolveFinish = (draft: JobDraft, entry: Entry): void => {
  const id = stepIn(entry);
  const state = stepDraft(draft, id);
  perform(draft, id, entry, listOf(entry.data, 'with'));
  state.state = 'done';
  state.finished = stampOf(entry);
  if (state.skip) closeTag(draft, state.skip.tag, entry);
  touch(draft, id, entry);
};

const closeTag = (draft: JobDraft, tag: string, entry: Entry): void => {
  const item = draft.loose.find((one) => one.tag === tag);
  if (item && leftOpen(item) > 0) item.closings.push({ ...stampOf(entry), count: leftOpen(item) });
};

export const evolveComplete = (draft: JobDraft, entry: Entry): void => {
  draft.completed = stampOf(entry);
  delete draft.reopened;
};

export const evolveSkip = (draft: JobDraft, entry: Entry): void => {
  const id = stepIn(entry);
  const skip = {
    ...stampOf(entry),
    because: textOf(entry.data, 'because') ?? '',
    before: textOf(entry.data, 'before') ?? '',
    tag: textOf(entry.data, 'tag') ?? '',
  };
  const state = stepDraft(draft, id);
  state.state = 'skipped';
  state.skip = skip;
  draft.loose.push({
    ...skip,
    item: id,
    step: id,
    count: 1,
    left: 'step left for later',
    closings: [],
    skipped: true,
  });
  touch(draft, id, entry);
};

export const evolveUndo = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const id = stepIn(entry);
  stepDraft(draft, id).performers.push(...(stepDraft(draft, id).performers.includes(entry.by) ? [] : [entry.by]));
  redo(draft, job.plan, dependentSteps(job, id), entry, textOf(entry.data, 'because') ?? '');
  reopenJob(draft, entry);
};

export const evolveDispose = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const kind = (textOf(entry.data, 'as-what') ?? 'ask') as DispositionKind;
  const step = textOf(entry.data, 'step');
  const acceptedBy = textOf(entry.data, 'accepted-by');
  const letter = textOf(entry.data, 'letter-sha256');
  const disposition: Disposition = {
    ...stampOf(entry),
    on: textOf(entry.data, 'on') ?? '',
    kind,
    reason: textOf(entry.data, 'reason') ?? '',
    covers: listOf(entry.data, 'covers'),
    ...(step === undefined ? {} : { step }),
    ...(acceptedBy === undefined ? {} : { acceptedBy }),
    ...(letter === undefined ? {} : { letter }),
  };
  draft.dispositions.push(disposition as Draft<Disposition>);
  if (step === undefined) return;
  if (kind === 'rework' || kind === 'scrap') {
    redo(draft, job.plan, reworkSteps(job, step, kind), entry, `${kind}: ${disposition.reason}`);
    reopenJob(draft, entry);
  } else touch(draft, step, entry);
};

export const evolvePark = (draft: JobDraft, entry: Entry): void => {
  draft.parks.push({
    ...stampOf(entry),
    because: textOf(entry.data, 'because') ?? '',
    waitsFor: textOf(entry.data, 'waits-for') ?? '',
    state: textOf(entry.data, 'state') ?? '',
    where: textOf(entry.data, 'where') ?? '',
  });
};

export const evolveUnpark = (draft: JobDraft, entry: Entry): void => {
  const park = draft.parks.at(-1);
  const arrived = textOf(entry.data, 'arrived');
  if (park && !park.ended) park.ended = { ...stampOf(entry), ...(arrived === undefined ? {} : { arrived }) };
};

export const evolveInterrupt = (draft: JobDraft, entry: Entry): void => {
  draft.interruptions.push(stampOf(entry));
  draft.helpers = [];
};

export const evolveResume = (draft: JobDraft, entry: Entry): void => {
  const last = draft.interruptions.at(-1);
  if (last && !last.resumed) last.resumed = { ...stampOf(entry), rechecked: [...listOf(entry.data, 'rechecked')] };
};

/** Work on a step ends a park and an interruption: neither `unpark` nor `resume` is ever required. */
export const evolveReturn = (draft: JobDraft, entry: Entry): void => {
  const park = draft.parks.at(-1);
  if (park && !park.ended) park.ended = stampOf(entry);
  const last = draft.interruptions.at(-1);
  if (last && !last.resumed) last.resumed = { ...stampOf(entry), rechecked: [] };
};

export const evolveDepart = (draft: JobDraft, entry: Entry): void => {
  const agreed = textOf(entry.data, 'agreed');
  draft.departures.push({
    ...stampOf(entry),
    code: textOf(entry.data, 'code') ?? '',
    says: textOf(entry.data, 'says') ?? '',
    did: textOf(entry.data, 'did') ?? '',
    because: textOf(entry.data, 'because') ?? '',
    ...(agreed === undefined ? {} : { agreed }),
  });
};

/** Departures that overruled a refusal of this entry belong to its step from now on. */
export const bindDepartures = (draft: JobDraft, entry: Entry, step: Step | undefined): void => {
  if (!step) return;
  for (const id of listOf(entry.data, 'departures')) {
    const departure = draft.departures.find((one) => one.entry === id);
    if (departure) departure.step ??= step.step;
  }
};
