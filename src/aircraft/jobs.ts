import { memoised } from '../fault/memo.ts';
import { own } from '../fault/own.ts';
import type { JobState } from '../job/state.ts';
import type { BuildFile } from './file.ts';

/*
 * A build of years has thousands of jobs, nearly all of them complete, and each new entry changes one. So jobs are kept in cabinets of
 * drawers: a new state copies one cabinet and one drawer, not the whole table. A job from a snapshot is laid up: it is read when somebody
 * first asks for it, and what most questions ask of every job (its traits) is known without reading it.
 */

/** A yes-or-no fact of a job, for questions that concern few jobs of a build: the others need not be read. */
export interface Trait {
  /** A letter of its own, by which a snapshot names it. */
  readonly letter: string;
  /** True where it depends on build.yaml as well as on the job. */
  readonly isByFile: boolean;
  readonly holds: (job: JobState, file: BuildFile) => boolean;
}

/** A job that a snapshot holds. */
export interface LaidUp {
  readonly read: () => JobState;
  /** The letters of the traits that it has. */
  readonly traits: string;
  /** The build.yaml that was in force; absent where the traits that depend on it are not known. */
  readonly file?: BuildFile;
  /** What `lasting.ts` kept of it. */
  readonly kept: () => unknown;
}

interface Slot {
  /** Absent until somebody asks for the job, which is then read. */
  job?: JobState;
  readonly laid?: LaidUp;
}

type Drawer = Readonly<Record<string, Slot>>;
type Cabinet = Readonly<Record<string, Drawer>>;

/** The jobs of a build: by the last digit of the id, then the digit before it, then the whole id. Never changed in place. */
export type Jobs = Readonly<Record<string, Cabinet>>;

export const noJobs: Jobs = {};

/**
 * The last two digits of the hash in a job's id, which spread any jobs evenly over 16 cabinets of 16 drawers. An underscore precedes each
 * digit, because an object with `7` among its keys is copied as a list is, five times as slowly.
 */
const wayTo = (id: string): readonly [cabinet: string, drawer: string] => [`_${id.slice(-1)}`, `_${id.slice(-2, -1)}`];

const slotIn = (jobs: Jobs, id: string): Slot | undefined => {
  const [cabinet, drawer] = wayTo(id);
  return own(own(own(jobs, cabinet) ?? {}, drawer) ?? {}, id);
};

const readSlot = (slot: Slot): JobState | undefined => {
  if (slot.job === undefined && slot.laid !== undefined) slot.job = slot.laid.read();
  return slot.job;
};

const slotHas = (slot: Slot, trait: Trait, file: BuildFile): boolean => {
  const { laid } = slot;
  if (laid !== undefined && (!trait.isByFile || laid.file === file)) return laid.traits.includes(trait.letter);
  const job = readSlot(slot);
  return job !== undefined && trait.holds(job, file);
};

const withSlot = (jobs: Jobs, id: string, slot: Slot): Jobs => {
  const [cabinet, drawer] = wayTo(id);
  const drawers = own(jobs, cabinet) ?? {};
  return { ...jobs, [cabinet]: { ...drawers, [drawer]: { ...own(drawers, drawer), [id]: slot } } };
};

export const hasJob = (jobs: Jobs, id: string): boolean => slotIn(jobs, id) !== undefined;

export const jobIn = (jobs: Jobs, id: string): JobState | undefined => {
  const slot = slotIn(jobs, id);
  return slot && readSlot(slot);
};

export const withJob = (jobs: Jobs, job: JobState): Jobs => withSlot(jobs, job.id, { job });

/** A job as it was laid up, read or not: no entry has changed it since. `undefined` for any other job. */
export const laidUp = (jobs: Jobs, id: string): LaidUp | undefined => slotIn(jobs, id)?.laid;

/** True where the job need not be read before it can be asked anything. */
export const isRead = (jobs: Jobs, id: string): boolean => slotIn(jobs, id)?.job !== undefined;

/** How many of the jobs that were laid up have been read. */
export const countRead = (jobs: Jobs): number => {
  let count = 0;
  for (const cabinet of Object.values(jobs))
    for (const drawer of Object.values(cabinet))
      for (const { job, laid } of Object.values(drawer)) if (job !== undefined && laid !== undefined) count += 1;
  return count;
};

/** An object that stays the same for as long as nothing changes the job. */
export const placeOfJob = (jobs: Jobs, id: string): object | undefined => slotIn(jobs, id);

/** Jobs that are read when somebody first asks for them. */
export const laidUpJobs = (laid: readonly (readonly [id: string, laid: LaidUp])[]): Jobs => {
  const jobs: Record<string, Record<string, Record<string, Slot>>> = {};
  for (const [id, one] of laid) {
    const [cabinet, drawer] = wayTo(id);
    ((jobs[cabinet] ??= {})[drawer] ??= {})[id] = { laid: one };
  }
  return jobs;
};

/** The jobs of each drawer by their keys, for one question. */
const indexes = memoised((_drawer: Drawer) => new Map<unknown, ReadonlyMap<string, readonly JobState[]>>());

const indexOf = (drawer: Drawer, keys: Keys, file: BuildFile): ReadonlyMap<string, readonly JobState[]> => {
  const known = indexes(drawer).get(keys);
  if (known !== undefined) return known;
  const index = new Map<string, JobState[]>();
  for (const slot of Object.values(drawer)) {
    const job = slotHas(slot, keys.trait, file) ? readSlot(slot) : undefined;
    if (job === undefined) continue;
    for (const key of new Set(keys.of(job))) {
      const there = index.get(key);
      if (there === undefined) index.set(key, [job]);
      else there.push(job);
    }
  }
  indexes(drawer).set(keys, index);
  return index;
};

/** Keys that jobs have, such as the tags of their loose items. */
export interface Keys {
  readonly of: (job: JobState) => readonly string[];
  /** A trait of every job that has such a key; it must not depend on build.yaml. */
  readonly trait: Trait;
}

/**
 * The jobs that have a key, in no order. Drawers that no entry has changed since the last question are not looked through again.
 * @param keys one object for each question, made once.
 */
export const jobsWithKey = (jobs: Jobs, key: string, keys: Keys, file: BuildFile): readonly JobState[] =>
  Object.values(jobs).flatMap((cabinet) =>
    Object.values(cabinet).flatMap((drawer) => indexOf(drawer, keys, file).get(key) ?? []),
  );

/** The ids of the jobs that have a trait, in no order. Goes through the drawers, which is quicker than asking for each id. */
export const idsWith = (jobs: Jobs, trait: Trait, file: BuildFile): readonly string[] => {
  const found: string[] = [];
  for (const cabinet of Object.values(jobs))
    for (const drawer of Object.values(cabinet))
      for (const [id, slot] of Object.entries(drawer)) if (slotHas(slot, trait, file)) found.push(id);
  return found;
};

/** The last answer for each drawer or cabinet, by the trait. */
const answers = memoised(
  (_whole: Drawer | Cabinet) => new Map<Trait, { readonly by: BuildFile; readonly found: boolean }>(),
);

const remembering = (whole: Drawer | Cabinet, trait: Trait, file: BuildFile, find: () => boolean): boolean => {
  const known = answers(whole).get(trait);
  if (known !== undefined && (!trait.isByFile || known.by === file)) return known.found;
  const found = find();
  answers(whole).set(trait, { by: file, found });
  return found;
};

/**
 * True where some job has the trait. Drawers that no entry has changed since are not looked through again, so asking after every entry
 * takes next to no time in a build of thousands of jobs.
 */
export const someJob = (jobs: Jobs, trait: Trait, file: BuildFile): boolean =>
  Object.values(jobs).some((cabinet) =>
    remembering(cabinet, trait, file, () =>
      Object.values(cabinet).some((drawer) =>
        remembering(drawer, trait, file, () => Object.values(drawer).some((slot) => slotHas(slot, trait, file))),
      ),
    ),
  );

/** True where nothing has changed the job between two states of one build. */
export const isSameJob = (a: Jobs, b: Jobs, id: string): boolean => slotIn(a, id) === slotIn(b, id);
