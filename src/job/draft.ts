import { castDraft, type Draft } from 'immer';
import type { Step } from '../procedure/model.ts';
import { refusedIn } from './breach.ts';
import { happened, type Entry } from './entry.ts';
import { holdsOver } from './hold.ts';
import { leftOpen } from './loose.ts';
import { setStepAside } from './parts/all.ts';
import type { KeptPhoto, JobState, Logged, StepState } from './state.ts';
import type { Breach, Pending, Stamp } from './stamp.ts';
import { own } from '../fault/own.ts';

export type JobDraft = Draft<JobState>;

export const stampOf = (entry: Entry): Stamp => ({
  entry: entry.id,
  at: entry.at,
  when: happened(entry),
  by: entry.by,
  ...(entry.doubtful === true ? { doubtful: true } : {}),
});

/** The line of an entry in the log of a job. */
export const loggedOf = (entry: Entry, step?: string): Logged => ({
  ...stampOf(entry),
  type: entry.type,
  hash: entry.hash,
  also: entry.also,
  ...(step === undefined ? {} : { step }),
});

/** The photo that an entry of another kind brings, if any. */
export const photoIn = (data: {
  readonly photo?: string;
  readonly 'photo-sha256'?: string;
}): { readonly photo?: KeptPhoto } => {
  const { photo: file, 'photo-sha256': sha256 } = data;
  return file === undefined || sha256 === undefined ? {} : { photo: { file, sha256 } };
};

/**
 * The value of a table of a draft under an id, created when first needed. No plan has an id `__proto__`, so what an entry says about one is
 * kept in the log and stored nowhere else.
 */
export const drawer = <T>(table: Record<string, T>, id: string, make: () => NoInfer<T>): T => {
  const there = own(table, id);
  if (there !== undefined) return there;
  if (id === '__proto__') return make();
  table[id] = make();
  return own(table, id) ?? make();
};

/** The draft of a step's state, created when first needed. */
export const stepDraft = (draft: JobDraft, step: string): Draft<StepState> =>
  drawer(draft.steps, step, () => ({ state: 'todo', with: [], performers: [], acted: [], named: [], reopened: [] }));

const addAll = (list: string[], names: readonly string[]): void => {
  for (const name of names) if (!list.includes(name)) list.push(name);
};

/** Whoever does this to a step counts as a performer of it from now on, and so does everybody whom the entry names. */
export const asPerformer = (draft: JobDraft, step: string, entry: Entry, names: readonly string[] = []): void => {
  const state = stepDraft(draft, step);
  addAll(state.acted, [entry.by]);
  addAll(state.performers, [entry.by, ...names]);
  if (names.length > 0) state.named.push({ entry: entry.id, names: [...names] });
};

/**
 * Records that somebody performed on a step. The step is begun if it was not, and the person counts as a performer from now on. What a rule
 * refused begins nothing, and names no helpers for what comes next.
 */
export const perform = (
  draft: JobDraft,
  step: string,
  entry: Entry,
  names: readonly string[] = [],
  explicit = false,
): void => {
  const state = stepDraft(draft, step);
  state.last = stampOf(entry);
  asPerformer(draft, step, entry, names);
  if (refusedIn(entry).length > 0) return;
  if (explicit) state.begun = { ...stampOf(entry), explicit };
  else state.begun ??= { ...stampOf(entry), explicit };
  addAll(state.with, names);
  addAll(draft.helpers, names);
};

/** Notes the last entry that touched a step. A signed answer to a hold is good only while that entry stays the last. */
export const touch = (draft: JobDraft, step: string, entry: Entry): void => {
  stepDraft(draft, step).touched = { hash: entry.hash, order: draft.log.length };
};

/** Voids every release of one hold, which closes the hold again. */
export const voidLooksAt = (draft: JobDraft, hold: string, entry: Entry): void => {
  const releases = (own(draft.looks, hold) ?? []).filter(
    (look) => look.kind === 'release' && look.voided === undefined,
  );
  if (releases.length === 0) return;
  for (const look of releases) look.voided = entry.id;
  const state = stepDraft(draft, hold);
  if (state.state === 'done') reopen(state, entry, 'what was released has changed');
};

/** Voids every release that looked at one of these steps, which closes their holds again. */
export const voidReleases = (draft: JobDraft, plan: JobState['plan'], steps: readonly string[], entry: Entry): void => {
  for (const hold of holdsOver(plan, steps)) voidLooksAt(draft, hold.step, entry);
};

/**
 * Ends a step, and the tag by which it was left for later. Whoever released the work over such a step has not seen it.
 * @param finished when it was finished, where that is not when the entry says so.
 */
export const finishStep = (
  draft: JobDraft,
  plan: JobState['plan'],
  step: string,
  entry: Entry,
  finished: NonNullable<StepState['finished']> = stampOf(entry),
): void => {
  const state = stepDraft(draft, step);
  if (state.state === 'skipped') voidReleases(draft, plan, [step], entry);
  state.state = 'done';
  state.finished = castDraft(finished);
  state.made = castDraft(finished);
  const item = state.skip && draft.loose.find(({ tag }) => tag === state.skip?.tag);
  if (item && leftOpen(item) > 0) item.closings.push({ ...stampOf(entry), count: leftOpen(item) });
};

/** Lets count what a rule refused and a disposition has accepted: as if it had been taken at its own time. */
export const letCount = (draft: JobDraft, plan: JobState['plan'], breach: Breach, disposed: Entry): void => {
  const { verb, on, step, entry, at, when, by, doubtful } = breach;
  const stamp: Stamp = { entry, at, when, by, ...(doubtful === true ? { doubtful } : {}) };
  const broken = draft.batches.flatMap(({ sample }) => sample?.broken ?? []);
  const items: readonly Draft<Stamp & Pending>[] = [
    ...(own(draft.tries, on) ?? []),
    ...(own(draft.fasteners, on) ?? []),
    ...draft.batches,
    ...draft.photos,
    ...broken,
  ];
  for (const item of items) if (item.entry === entry) delete item.pending;
  const state = stepDraft(draft, step);
  if (verb === 'begin') state.begun = { ...stamp, explicit: true };
  else state.begun ??= { ...stamp, explicit: false };
  addAll(state.with, breach.with);
  addAll(draft.helpers, breach.with);
  if (verb === 'finish') finishStep(draft, plan, step, disposed, stamp);
};

/** Opens a step again. What was entered in it stays and still counts. */
export const reopen = (state: Draft<StepState>, entry: Entry, because: string): void => {
  state.state = 'todo';
  delete state.begun;
  delete state.finished;
  state.reopened.push({ ...stampOf(entry), because });
};

/** Steps that must be done anew. What was entered in them stays readable and no longer counts. */
export const redo = (
  draft: JobDraft,
  plan: JobState['plan'],
  steps: readonly Step[],
  entry: Entry,
  because: string,
): void => {
  const ids = steps.map((step) => step.step);
  for (const step of steps) {
    const state = stepDraft(draft, step.step);
    if (state.state !== 'todo' || state.begun) reopen(state, entry, because);
    state.with = [];
    delete state.made;
    setStepAside(draft, step, entry.id);
    touch(draft, step.step, entry);
  }
  voidReleases(draft, plan, ids, entry);
};

/** Work on a complete job opens the job again. Its next record names the earlier one. */
export const reopenJob = (draft: JobDraft, entry: Entry): void => {
  if (draft.completed && !draft.reopened) draft.reopened = stampOf(entry);
};
