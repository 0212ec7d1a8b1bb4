import { castDraft, produce } from 'immer';
import type { Plan } from '../procedure/plan.ts';
import { readingOf } from '../procedure/plan.ts';
import { textOf, type Entry } from './entry.ts';
import { stampOf, stepDraft, type JobDraft } from './evolve/draft.ts';
import * as flow from './evolve/flow.ts';
import * as holds from './evolve/holds.ts';
import * as keeping from './evolve/keeping.ts';
import { evolveMove, evolveResolve } from './evolve/revising.ts';
import * as values from './evolve/values.ts';
import { isUsed } from './potlife.ts';
import type { JobState, Logged } from './state.ts';
import { isVerb, type Verb } from './verbs.ts';
import { troublesOf } from './verdicts.ts';
import { currentStep } from './where.ts';
import { own } from '../fault/own.ts';

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
    loose: [],
    closings: [],
    photos: [],
    lots: [],
    tools: {},
    shop: [],
    parks: [],
    interruptions: [],
    remarks: [],
    moves: [],
    resolutions: [],
    laidAside: [],
    former: [],
    helpers: [],
    log: [{ ...stampOf(entry), type: 'start', hash: entry.hash, also: entry.also }],
  };
};

/** The step that an entry is about, where it is about one. */
export const stepOfEntry = (job: JobState, entry: Pick<Entry, 'type' | 'data'>): string | undefined => {
  if (entry.type === 'read') return readingOf(job.plan, textOf(entry.data, 'reading') ?? '')?.step.step;
  return textOf(entry.data, 'step');
};

/** What is told in a job's story of an entry that changes nothing else in it. */
export const withRemark = (job: JobState, entry: Entry, text: string): JobState => ({
  ...job,
  remarks: [...job.remarks, { ...stampOf(entry), text }],
  log: job.log.some((one) => one.entry === entry.id)
    ? job.log
    : [...job.log, { ...stampOf(entry), type: entry.type, hash: entry.hash, also: entry.also }],
});

type Evolver = (draft: JobDraft, entry: Entry, job: JobState) => void;

const current = (job: JobState): string | undefined => currentStep(job)?.step;

const evolvers: Readonly<Partial<Record<Verb, Evolver>>> = {
  begin: flow.evolveBegin,
  finish: flow.evolveFinish,
  complete: flow.evolveComplete,
  interrupt: flow.evolveInterrupt,
  resume: flow.evolveResume,
  read: values.evolveRead,
  correct: values.evolveCorrect,
  tighten: values.evolveTighten,
  mix: values.evolveMix,
  discard: (draft, entry, job) => values.evolveDiscard(draft, entry, job, (mix) => isUsed(job, mix)),
  break: (draft, entry, job) => values.evolveBreak(draft, entry, job, current(job)),
  lot: keeping.evolveLot,
  use: keeping.evolveUse,
  shop: keeping.evolveShop,
  photo: (draft, entry, job) =>
    keeping.evolvePhoto(
      draft,
      entry,
      job.plan.steps.find((step) => step.photos.some((part) => part.photo === textOf(entry.data, 'photo')))?.step,
    ),
  release: holds.evolveRelease,
  refuse: holds.evolveRefuse,
  answer: holds.evolveAnswer,
  reinspect: holds.evolveReinspect,
  invite: holds.evolveInvite,
  dispose: flow.evolveDispose,
  depart: flow.evolveDepart,
  skip: flow.evolveSkip,
  undo: flow.evolveUndo,
  loose: keeping.evolveLoose,
  close: keeping.evolveClose,
  park: flow.evolvePark,
  unpark: flow.evolveUnpark,
  remark: (draft, entry, job) => keeping.evolveSaid(draft, entry, current(job)),
  advise: (draft, entry, job) => keeping.evolveSaid(draft, entry, current(job)),
  resolve: evolveResolve,
};

const performing = new Set<string>(['begin', 'finish', 'read', 'tighten', 'mix', 'break']);

/** True for entries whose kind the job room knows how to apply. */
export const isJobEntry = (type: string): boolean => isVerb(type) && evolvers[type] !== undefined;

const loggedOf = (entry: Entry, step: string | undefined): Logged => ({
  ...stampOf(entry),
  type: entry.type,
  hash: entry.hash,
  also: entry.also,
  ...(step === undefined ? {} : { step }),
});

/** The job after it was moved: it follows the plan of another revision from here on. */
export const moveJob = (job: JobState, entry: Entry, plan: Plan): JobState => {
  const moved = evolveMove(job, entry, plan);
  return reopenedBy(job, { ...moved, log: [...moved.log, loggedOf(entry, undefined)] }, entry);
};

/**
 * The job after an entry. Never refuses: what is written is written.
 * Throws a RangeError on a type that is not a job's: the caller names it (an unknown type is never passed over).
 */
export const evolveJob = (job: JobState, entry: Entry): JobState => {
  const evolver = isVerb(entry.type) ? evolvers[entry.type] : undefined;
  if (!evolver) throw new RangeError(`not a job's entry: ${entry.type}`);
  const step = stepOfEntry(job, entry);
  const walked = produce(job, (draft) => {
    if (performing.has(entry.type)) flow.evolveReturn(draft, entry);
    evolver(draft, entry, job);
    flow.bindDepartures(
      draft,
      entry,
      job.plan.steps.find((one) => one.step === step),
    );
    // Another job may close an item of this one: the record rests on that entry as on its own.
    if (entry.job === job.id || entry.type === 'close') draft.log.push(castDraft(loggedOf(entry, step)));
  });
  return reopenedBy(job, entry.type === 'correct' ? withReopenedSteps(walked, entry) : walked, entry);
};

/** A correction decides finished steps again: one that is now outside is open, and is finished by a new act. */
const withReopenedSteps = (job: JobState, entry: Entry): JobState => {
  const outside = job.plan.steps.filter(
    (step) => own(job.steps, step.step)?.state === 'done' && troublesOf(job, step).length > 0,
  );
  return produce(job, (draft) => {
    for (const step of outside) {
      const state = stepDraft(draft, step.step);
      state.state = 'todo';
      delete state.finished;
      state.reopened.push({ ...stampOf(entry), because: 'a corrected value is outside its limits' });
    }
  });
};

/** A correction after completion may put a step or a hold open again: then so is the job. */
const reopenedBy = (before: JobState, after: JobState, entry: Entry): JobState =>
  before.completed && !before.reopened && after.completed === before.completed && !after.reopened && currentStep(after)
    ? { ...after, reopened: stampOf(entry) }
    : after;
