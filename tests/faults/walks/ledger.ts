import { jobOf } from '../../../src/aircraft/state.ts';
import type { Entry, EntryOf } from '../../../src/job/entry.ts';
import type { Step } from '../../../src/procedure/model.ts';
import type { Plan } from '../../../src/procedure/plan.ts';
import type { WalkBuild } from './walk-build.ts';

/*
 * What the laws know of a build: a book of their own, kept line by line from what was entered. Of the engine they take the pages alone
 * (the plan of a job), never what it worked out. Where a line's effect reaches further than its own words (work that leans on undone
 * work), the book forgets more than it must, so that a law never cries wolf.
 */

export interface Value {
  readonly entry: string;
  value: string;
  readonly position?: string;
  readonly n?: number;
  /** Done against a rule, and nobody has accepted it. */
  pending: boolean;
}

export interface BatchByHand {
  readonly entry: string;
  readonly step: string;
  isGood: boolean;
  isBroken: boolean;
}

export interface JobBook {
  readonly id: string;
  plan: Plan;
  readonly entries: Entry[];
  /** Finished steps that nothing has opened since, with the line of the finish. */
  readonly done: Map<string, Entry>;
  /** Steps that were finished and that the book forgot with work before them: the engine may count them as finished still. */
  readonly perhaps: Set<string>;
  /** Steps in which something was entered since they were last taken apart. */
  readonly begun: Set<string>;
  /** Steps that have been left for later and not been finished since. */
  readonly skipped: Map<string, { readonly tag: string; readonly before: string; isNotDone: boolean }>;
  /** By reading: every value, oldest first. */
  readonly values: Map<string, Value[]>;
  /** By hold: the release in force. */
  readonly releases: Map<string, EntryOf<'release'>>;
  readonly findings: Map<number, { readonly hold: string; isAnswered: boolean; isClosed: boolean }>;
  readonly batches: Map<string, BatchByHand>;
  /** By tag: how many are still out. */
  readonly loose: Map<string, { left: number; readonly before: string; readonly item: string }>;
  /** What a rule refused and was done all the same, and nobody has decided. */
  readonly breaches: Map<string, { readonly step: string }>;
  readonly disposed: EntryOf<'dispose'>[];
  /** The work in this job was taken apart, moved or corrected: what the laws say of time alone is not said of it. */
  isReworked: boolean;
  completed?: Entry;
}

export interface Book {
  /** What build.yaml plans, and before which gate. */
  readonly plan: readonly { readonly procedure: string; readonly before?: string }[];
  /** The gates in their order. */
  readonly gates: readonly string[];
  readonly jobs: Map<string, JobBook>;
  readonly entries: Entry[];
  /** By tool: what was found on it last. */
  readonly found: Map<string, string>;
  /** By entry, of a mix or of the shop: the place of the step in which it was made. */
  readonly places: Map<string, string>;
  /** The clock was in doubt at some time. */
  hasDoubt: boolean;
}

export const newBook = ({ plan = [], gates = [] }: Partial<Pick<Book, 'plan' | 'gates'>>): Book => ({
  plan,
  gates,
  jobs: new Map(),
  entries: [],
  found: new Map(),
  places: new Map(),
  hasDoubt: false,
});

export const isRefused = (entry: Entry): boolean => 'refused' in entry.data && entry.data.refused !== undefined;

export const stepNamed = (plan: Plan, id: string): Step | undefined => plan.steps.find(({ step }) => step === id);

/** The step on which a line works, for the verbs of work. */
export const stepWorked = ({ plan, batches }: JobBook, entry: Entry): string | undefined => {
  if (entry.type === 'read')
    return plan.steps.find(({ readings }) => readings.some(({ reading }) => reading === entry.data.reading))?.step;
  if (entry.type === 'photo')
    return plan.steps.find(({ photos }) => photos.some(({ photo }) => photo === entry.data.photo))?.step;
  if (entry.type === 'break') {
    const mix = batches.get(entry.data.sample)?.step;
    return plan.steps.find((step) => mix !== undefined && step.break?.of.includes(mix))?.step;
  }
  const isWork = ['begin', 'finish', 'tighten', 'mix', 'undo'].includes(entry.type);
  return isWork && 'step' in entry.data ? entry.data.step : undefined;
};

/** Rule 3: what a hold inspects, which is what it names, else everything since the last hold point. */
export const inspectedBy = (plan: Plan, hold: Step): readonly string[] => {
  if (hold.hold?.of) return hold.hold.of;
  const at = plan.steps.indexOf(hold);
  const last = plan.steps.slice(0, at).findLastIndex((step) => step.hold?.kind === 'hold');
  return plan.steps.slice(last + 1, at).map(({ step }) => step);
};

const forget = (book: JobBook, steps: readonly string[]): void => {
  book.isReworked = true;
  for (const [index, step] of steps.entries()) {
    if (book.done.delete(step) && index > 0) book.perhaps.add(step);
    if (index === 0) book.perhaps.delete(step);
    book.begun.delete(step);
    for (const { reading } of stepNamed(book.plan, step)?.readings ?? []) book.values.delete(reading);
    for (const [entry, breach] of book.breaches) if (breach.step === step) book.breaches.delete(entry);
    for (const batch of book.batches.values()) if (batch.step === step) batch.isGood = false;
  }
};

/** Closes every hold again that looked at one of these steps. */
const voidWhatLookedAt = (book: JobBook, steps: readonly string[]): void => {
  for (const hold of book.plan.steps)
    if (hold.hold && inspectedBy(book.plan, hold).some((one) => steps.includes(one))) book.releases.delete(hold.step);
};

/** The same, and those of these steps that are holds themselves. */
const voidOver = (book: JobBook, steps: readonly string[]): void => {
  voidWhatLookedAt(book, steps);
  for (const step of steps) book.releases.delete(step);
};

/** The step and all after it: whatever leans on it is among them. */
const fromOn = ({ plan }: JobBook, id: string): readonly string[] => {
  const at = plan.steps.findIndex(({ step }) => step === id);
  return at < 0 ? [] : plan.steps.slice(at).map(({ step }) => step);
};

const correcting = (book: JobBook, entry: EntryOf<'correct'>): void => {
  const target = book.entries.find(({ id }) => id === entry.data.entry);
  const step = target && stepWorked(book, target);
  if (!target || step === undefined) return;
  book.isReworked = true;
  // The finish of a hold is not what the hold inspects.
  voidWhatLookedAt(book, [step]);
  const { value } = entry.data;
  const named = typeof value === 'string' ? value : value['value'];
  if (target.type === 'read' && typeof named === 'string')
    for (const one of book.values.get(target.data.reading) ?? []) if (one.entry === target.id) one.value = named;
  for (const batch of book.batches.values()) if (batch.entry === target.id) batch.isGood = false;
};

const disposing = (book: JobBook, entry: EntryOf<'dispose'>): void => {
  const { 'as-what': kind, step, covers } = entry.data;
  book.disposed.push(entry);
  if (kind === 'rework' || kind === 'scrap') {
    // From where the rework goes back to, and that is the page's own word; the book forgets from the first step on.
    forget(book, kind === 'scrap' ? book.plan.steps.map((one) => one.step) : fromOn(book, firstBack(book, step)));
    voidOver(book, [step]);
  }
  if (kind === 'repair' || kind === 'use-as-is')
    for (const key of covers.filter((one) => one.startsWith('done '))) {
      const [, id = ''] = key.split(' ');
      const done = book.entries.find((one) => one.id === id);
      const at = done && stepWorked(book, done);
      book.breaches.delete(id);
      for (const values of book.values.values()) for (const one of values) if (one.entry === id) one.pending = false;
      if (done?.type === 'finish' && at !== undefined) book.done.set(at, done);
    }
};

const firstBack = ({ plan }: JobBook, id: string): string => {
  const back = stepNamed(plan, id)?.backTo;
  const [own, other] = [id, back ?? id].map((one) => plan.steps.findIndex(({ step }) => step === one));
  return (other ?? 0) < (own ?? 0) ? (back ?? id) : id;
};

const looking = (book: JobBook, entry: EntryOf<'release'> | EntryOf<'refuse'>): void => {
  const { step } = entry.data;
  book.begun.add(step);
  if (entry.type === 'refuse') {
    book.releases.delete(step);
    for (const number of entry.data.numbers)
      book.findings.set(number, { hold: step, isAnswered: false, isClosed: false });
    return;
  }
  book.releases.set(step, entry);
  for (const finding of book.findings.values()) if (finding.hold === step) finding.isClosed = true;
};

const finishing = (book: JobBook, step: string, entry: Entry): void => {
  if (book.skipped.delete(step)) voidOver(book, [step]);
  book.done.set(step, entry);
};

const breaking = (book: JobBook, sample: string): void => {
  for (const [id, batch] of book.batches) if (id === sample) batch.isBroken = true;
};

const closing = (books: Book, { data }: EntryOf<'close'>): void => {
  for (const book of books.jobs.values()) {
    const item = data.tag === undefined ? undefined : book.loose.get(data.tag);
    if (item) item.left = data.left;
    for (const left of book.skipped.values()) if (left.tag === data.tag) left.isNotDone = true;
  }
};

/** Writes a line into the book of its job. */
const inJob = (books: Book, book: JobBook, entry: Entry): void => {
  const step = stepWorked(book, entry);
  const refused = isRefused(entry);
  if (refused && step !== undefined) {
    book.breaches.set(entry.id, { step });
    if (book.done.has(step)) voidWhatLookedAt(book, [step]);
  }
  if (step !== undefined && entry.type !== 'undo' && !refused) book.begun.add(step);
  if (entry.type === 'finish' && !refused) finishing(book, entry.data.step, entry);
  else if (entry.type === 'undo') {
    voidOver(book, [entry.data.step]);
    forget(book, fromOn(book, entry.data.step));
  } else if (entry.type === 'read') {
    const { reading, value, position, n } = entry.data;
    const list = book.values.get(reading) ?? [];
    list.push({
      entry: entry.id,
      value,
      pending: refused,
      ...(position === undefined ? {} : { position }),
      ...(n === undefined ? {} : { n }),
    });
    book.values.set(reading, list);
  } else if (entry.type === 'correct') correcting(book, entry);
  else if (entry.type === 'dispose') disposing(book, entry);
  else if (entry.type === 'release' || entry.type === 'refuse') looking(book, entry);
  else if (entry.type === 'answer') {
    const finding = book.findings.get(entry.data.finding);
    if (finding) finding.isAnswered = true;
  } else if (entry.type === 'mix') {
    const isGood = entry.data['in-ratio'] && entry.data.discarded !== true && !refused;
    book.batches.set(entry.data.batch, { entry: entry.id, step: entry.data.step, isGood, isBroken: false });
    if (book.done.has(entry.data.step)) voidOver(book, [entry.data.step]);
  } else if (entry.type === 'discard') {
    const batch = book.batches.get(entry.data.batch);
    if (batch) {
      batch.isGood = false;
      // It may have been in the joint, and then the work is open again.
      forget(book, fromOn(book, batch.step));
      for (const [id, breach] of book.breaches) if (breach.step === batch.step) book.breaches.delete(id);
    }
  } else if (entry.type === 'break') breaking(book, entry.data.sample);
  else if (entry.type === 'skip') {
    book.skipped.set(entry.data.step, { tag: entry.data.tag, before: entry.data.before, isNotDone: false });
    book.begun.delete(entry.data.step);
  } else if (entry.type === 'loose')
    book.loose.set(entry.data.tag, { left: entry.data.count, before: entry.data.before, item: entry.data.item });
  else if (entry.type === 'close') closing(books, entry);
  else if (entry.type === 'complete') book.completed = entry;
};

/** A new page, or a change of one that was decided: the plan is another, and steps may be open again. */
const followed = (book: JobBook, entry: EntryOf<'move'> | EntryOf<'resolve'>, plan: Plan): void => {
  const reopened = 'reopens' in entry.data ? (entry.data.reopens ?? []) : [];
  book.plan = plan;
  book.isReworked = true;
  for (const step of reopened) book.done.delete(step);
};

/** Writes a line into the book, after the build has taken it in. */
export const enterInBook = (books: Book, entry: Entry, build: WalkBuild): JobBook | undefined => {
  books.entries.push(entry);
  if (build.state().clockTrouble || entry.doubtful === true) books.hasDoubt = true;
  if (entry.type === 'tool') books.found.set(entry.data.tool, entry.data.found);
  const id = entry.type === 'start' ? (build.state().jobOrder.at(-1) ?? '') : entry.job;
  const job = jobOf(build.state(), id);
  if (!job) return undefined;
  const book: JobBook = books.jobs.get(id) ?? {
    id,
    plan: job.plan,
    entries: [],
    done: new Map(),
    perhaps: new Set(),
    begun: new Set(),
    skipped: new Map(),
    values: new Map(),
    releases: new Map(),
    findings: new Map(),
    batches: new Map(),
    loose: new Map(),
    breaches: new Map(),
    disposed: [],
    isReworked: false,
  };
  books.jobs.set(id, book);
  const open = book.plan.steps.find(({ step }) => !book.done.has(step));
  const at = entry.type === 'mix' ? stepNamed(book.plan, entry.data.step) : entry.type === 'shop' ? open : undefined;
  if (at?.place !== undefined) books.places.set(entry.id, at.place);
  inJob(books, book, entry);
  book.entries.push(entry);
  if (entry.type === 'move' || entry.type === 'resolve') followed(book, entry, job.plan);
  return book;
};
