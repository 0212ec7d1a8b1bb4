import { castDraft, produce } from 'immer';
import { own } from '../fault/own.ts';
import type { Step } from '../procedure/model.ts';
import { readingOf, stepOf, type Plan } from '../procedure/plan.ts';
import { permanentOpenedBy, stepWorkedOn } from './ahead-said.ts';
import type { Act } from './acts/act.ts';
import { changed } from './changed.ts';
import { jobActs } from './acts/all.ts';
import { endInterruption } from './acts/resume.ts';
import { endPark } from './acts/unpark.ts';
import type { Entry, EntryOf, JobEntry } from './entry.ts';
import { breachIn } from './breach.ts';
import { loggedOf, stampOf, stepDraft, voidReleases, type JobDraft } from './draft.ts';
import { lotsInUse } from './lots.ts';
import type { JobState } from './state.ts';
import { isVerb, verbSpec, type JobVerb } from './verbs.ts';
import { wantedOf } from './parts/all.ts';
import { troublesOf } from './troubles.ts';
import { currentStep, isInterrupted, isParked } from './where.ts';

/** The job that a `start` entry begins. Its id is the procedure, the side and six hex digits of the entry's hash. */
export const startJob = (entry: Entry, plan: Plan, sha256: string): JobState => {
  const parts = [plan.procedure, ...(plan.side === undefined ? [] : [plan.side]), entry.hash.slice(0, 6)];
  return {
    id: parts.join('-'),
    procedure: plan.procedure,
    revision: plan.revision,
    sha256,
    ...(plan.side === undefined ? {} : { side: plan.side }),
    plan,
    started: stampOf(entry),
    steps: {},
    tries: {},
    fasteners: {},
    batches: [],
    looks: {},
    findings: [],
    departures: [],
    dispositions: [],
    breaches: [],
    loose: [],
    closings: [],
    photos: [],
    lots: [],
    taken: [],
    fitted: [],
    uses: [],
    tools: {},
    shop: [],
    parks: [],
    interruptions: [],
    takenUp: [],
    remarks: [],
    moves: [],
    resolutions: [],
    laidAside: [],
    former: [],
    helpers: [],
    struck: [],
    log: [{ ...stampOf(entry), type: 'start', hash: entry.hash, also: entry.also }],
  };
};

/** The id of the step that an entry is about, where it is about one. */
export const stepOfEntry = (job: JobState, entry: Entry): string | undefined => {
  if (entry.type === 'read') return readingOf(job.plan, entry.data.reading)?.step.step;
  return 'step' in entry.data ? entry.data.step : undefined;
};

/** The job with one line more in its story, for an entry that changes nothing else. */
export const withRemark = (job: JobState, entry: Entry, text: string): JobState => ({
  ...job,
  remarks: [...job.remarks, { ...stampOf(entry), text }],
  log: job.log.some((one) => one.entry === entry.id)
    ? job.log
    : [...job.log, { ...stampOf(entry), type: entry.type, hash: entry.hash, also: entry.also }],
});

/** The job after a move, on the plan of another revision. */
export const moveJob = (job: JobState, entry: EntryOf<'move'>, plan: Plan): JobState => {
  const moved = jobActs.move.move(job, entry, plan);
  return reopenedBy(job, { ...moved, log: [...moved.log, loggedOf(entry)] }, entry);
};

type EvolvingVerb = Exclude<JobVerb, 'move'>;

const evolveOne = <V extends EvolvingVerb>(draft: JobDraft, entry: EntryOf<V>, job: JobState): void =>
  // The table has for each verb the act of that very verb, which the compiler cannot follow.
  (jobActs[entry.type] as unknown as Act<V>).evolve(draft, entry, job);

/** Binds the departures that overruled a refusal of this entry to the entry's step, so that they serve no other step. */
const bindDepartures = (draft: JobDraft, entry: Entry, step: Step | undefined): void => {
  if (!step) return;
  for (const id of entry.data.departures ?? []) {
    const departure = draft.departures.find((one) => one.entry === id);
    if (departure) departure.step ??= step.step;
  }
};

/** Keeps what a rule refused and was done all the same. Where the step had been finished, whoever released it has not seen this. */
const enterBreach = (draft: JobDraft, entry: JobEntry, job: JobState): void => {
  const breach = breachIn(job, entry);
  if (!breach) {
    const done = 'done' in entry.data ? entry.data.done : undefined;
    const step = stepWorkedOn(job, entry.type, entry.data)?.step;
    // No rule refused it, so it is not a nonconformance. What was said stays.
    if (done !== undefined)
      draft.remarks.push({ ...stampOf(entry), text: done, ...(step === undefined ? {} : { step }) });
    return;
  }
  draft.breaches.push(castDraft({ ...stampOf(entry), ...breach }));
  if (own(job.steps, breach.step)?.state === 'done') voidReleases(draft, job.plan, [breach.step], entry);
};

/** Keeps with each permanent step what was shown before the entry that begins it. @param job the job before that entry. */
const keepAhead = (draft: JobDraft, entry: JobEntry, job: JobState): void => {
  const ahead = 'ahead' in entry.data ? entry.data.ahead : undefined;
  if (ahead === undefined) return;
  for (const { step } of permanentOpenedBy(job, entry.type, entry.data))
    stepDraft(draft, step).ahead = { ...stampOf(entry), shown: [...ahead] };
};

/** Work on a step takes in hand the lots that are named then for the step's own materials. */
const takeLots = (draft: JobDraft, entry: Entry, step: Step | undefined): void => {
  const { performs, resumes } = isVerb(entry.type) ? verbSpec(entry.type) : {};
  if (!step || performs !== true || resumes !== true) return;
  for (const material of step.materials)
    for (const { entry: lot } of lotsInUse(draft, material))
      if (!draft.taken.some((one) => one.step === step.step && one.lot === lot && one.superseded === undefined))
        draft.taken.push({ ...stampOf(entry), step: step.step, material, lot });
};

/** The job after any entry but a move (see `moveJob`). A written entry is never refused. */
export const evolveJob = (job: JobState, entry: Exclude<JobEntry, EntryOf<'move'>>): JobState => {
  const step = stepOfEntry(job, entry);
  const about = { step, reading: entry.type === 'read' ? entry.data.reading : undefined };
  const walked = changed(job, about, (draft) => {
    if (verbSpec(entry.type).resumes === true) {
      if (isParked(job)) endPark(draft, entry);
      if (isInterrupted(job)) endInterruption(draft, entry);
    }
    evolveOne(draft, entry as EntryOf<EvolvingVerb>, job);
    keepAhead(draft, entry, job);
    enterBreach(draft, entry, job);
    takeLots(draft, entry, stepOf(job.plan, step ?? ''));
    if (entry.data.departures !== undefined)
      bindDepartures(draft, entry, stepWorkedOn(job, entry.type, entry.data) ?? stepOf(job.plan, step ?? ''));
    // Another job may close an item of this one, and correct that. The record depends on such an entry too, so the log lists it.
    draft.log.push(castDraft({ ...loggedOf(entry, step), ...(entry.job === job.id ? {} : { job: entry.job }) }));
  });
  return reopenedBy(job, entry.type === 'correct' ? withReopenedSteps(job, walked, entry) : walked, entry);
};

/**
 * A correction decides finished steps again. A step that is now outside its limits, or that wants something which it had, is open: somebody
 * must finish it anew, and whoever released it has seen something else.
 */
const withReopenedSteps = (before: JobState, job: JobState, entry: Entry): JobState => {
  const because = (step: Step): string | undefined => {
    if (own(job.steps, step.step)?.state !== 'done') return undefined;
    if (troublesOf(job, step).length > 0) return 'a corrected value is outside its limits';
    const [missing] = wantedOf(job, step);
    return missing && wantedOf(before, step).length === 0 ? `it wants ${missing.what}` : undefined;
  };
  const open = job.plan.steps.flatMap((step) => {
    const why = because(step);
    return why === undefined ? [] : [{ step: step.step, because: why }];
  });
  if (open.length === 0) return job;
  return produce(job, (draft) => {
    for (const { step, because: why } of open) {
      const state = stepDraft(draft, step);
      state.state = 'todo';
      delete state.finished;
      state.reopened.push({ ...stampOf(entry), because: why });
    }
    voidReleases(
      draft,
      job.plan,
      open.map(({ step }) => step),
      entry,
    );
  });
};

/** A correction after completion may open a step or a hold again; the job is then open too. */
const reopenedBy = (before: JobState, after: JobState, entry: Entry): JobState =>
  before.completed && !before.reopened && after.completed === before.completed && !after.reopened && currentStep(after)
    ? { ...after, reopened: stampOf(entry) }
    : after;

/** The closings that this entry set aside, because the step that closed was taken apart. */
const setAsideBy = (job: JobState, entry: string): ReadonlySet<string> =>
  new Set(job.closings.filter((closing) => closing.superseded === entry).map((closing) => closing.entry));

/**
 * A job after another job took apart the step that had closed one of its loose items: the item is open again, and the log lists the entry.
 * The same job where it has none.
 */
export const withOpenedItems = (job: JobState, closer: JobState, entry: Entry): JobState => {
  const undone = setAsideBy(closer, entry.id);
  const isUndone = (closing: { readonly entry: string }): boolean => undone.has(closing.entry);
  if (undone.size === 0 || !job.loose.some(({ closings }) => closings.some(isUndone))) return job;
  return produce(job, (draft) => {
    for (const item of draft.loose)
      for (const closing of item.closings.filter(isUndone)) closing.superseded ??= entry.id;
    draft.log.push(castDraft(loggedOf(entry)));
  });
};
