import { memoised } from '../fault/memo.ts';
import { own } from '../fault/own.ts';
import type { JobState } from '../job/state.ts';

/*
 * A build of years has thousands of jobs, nearly all of them complete, and each new entry changes one. So jobs are kept in cabinets of
 * drawers: a new state copies one cabinet and one drawer, not the whole table. A job from a snapshot is read when somebody first asks for
 * it.
 */

interface Slot {
  /** Absent until somebody asks for the job, which is then read. */
  job?: JobState;
  readonly read?: () => JobState;
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
  if (slot.job === undefined && slot.read !== undefined) slot.job = slot.read();
  return slot.job;
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

/** True for a job as it was laid up, read or not: no entry has changed it since. */
export const isLaidUp = (jobs: Jobs, id: string): boolean => slotIn(jobs, id)?.read !== undefined;

/** Jobs that are read when somebody first asks for them. */
export const laidUpJobs = (reads: readonly (readonly [id: string, read: () => JobState])[]): Jobs => {
  const jobs: Record<string, Record<string, Record<string, Slot>>> = {};
  for (const [id, read] of reads) {
    const [cabinet, drawer] = wayTo(id);
    ((jobs[cabinet] ??= {})[drawer] ??= {})[id] = { read };
  }
  return jobs;
};

/** The jobs of each drawer by their keys, for one question. */
const indexes = memoised((_drawer: Drawer) => new Map<unknown, ReadonlyMap<string, readonly JobState[]>>());

const indexOf = (drawer: Drawer, keysOf: KeysOf): ReadonlyMap<string, readonly JobState[]> => {
  const known = indexes(drawer).get(keysOf);
  if (known !== undefined) return known;
  const index = new Map<string, JobState[]>();
  for (const slot of Object.values(drawer)) {
    const job = readSlot(slot);
    if (job === undefined) continue;
    for (const key of new Set(keysOf(job))) {
      const there = index.get(key);
      if (there === undefined) index.set(key, [job]);
      else there.push(job);
    }
  }
  indexes(drawer).set(keysOf, index);
  return index;
};

type KeysOf = (job: JobState) => readonly string[];

/**
 * The jobs that have a key, in no order. Drawers that no entry has changed since the last question are not looked through again.
 * @param keysOf one function for each question, made once.
 */
export const jobsWithKey = (jobs: Jobs, key: string, keysOf: KeysOf): readonly JobState[] =>
  Object.values(jobs).flatMap((cabinet) =>
    Object.values(cabinet).flatMap((drawer) => indexOf(drawer, keysOf).get(key) ?? []),
  );

type Test<By> = (job: JobState, by: By) => boolean;

/** The last answer for each drawer or cabinet, by the question. */
const answers = memoised(
  (_whole: Drawer | Cabinet) => new Map<unknown, { readonly by: unknown; readonly found: boolean }>(),
);

const remembering = <By>(whole: Drawer | Cabinet, by: By, test: Test<By>, find: () => boolean): boolean => {
  const known = answers(whole).get(test);
  if (known?.by === by) return known.found;
  const found = find();
  answers(whole).set(test, { by, found });
  return found;
};

/**
 * True where the test holds for some job. Drawers that no entry has changed since are not looked through again, so asking after every entry
 * takes next to no time in a build of thousands of jobs.
 * @param by what the answer depends on beside the job, compared as an object.
 * @param test one function for each question, made once.
 */
export const someJob = <By>(jobs: Jobs, by: By, test: Test<By>): boolean =>
  Object.values(jobs).some((cabinet) =>
    remembering(cabinet, by, test, () =>
      Object.values(cabinet).some((drawer) =>
        remembering(drawer, by, test, () =>
          Object.values(drawer).some((slot) => {
            const job = readSlot(slot);
            return job !== undefined && test(job, by);
          }),
        ),
      ),
    ),
  );

/** True where nothing has changed the job between two states of one build. */
export const isSameJob = (a: Jobs, b: Jobs, id: string): boolean => slotIn(a, id) === slotIn(b, id);
