import { produce } from 'immer';
import type { JobDraft } from './draft.ts';
import type { JobState, StepState } from './state.ts';

/*
 * A job of a build of years is made by a hundred entries, and opening such a build makes two thousand jobs. A general draft (immer), which
 * watches every object that an entry reads, takes ten times as long for one entry as copying the few lists and tables that entries change. So
 * those are copied, and everything below them is frozen: where an entry changes something deeper, that throws, and a general draft is
 * made after all. Both give the same job.
 */

/** What an entry is about, as far as it is known before it is applied. */
interface About {
  readonly step?: string | undefined;
  readonly reading?: string | undefined;
}

/** False where a change of a frozen object would go unnoticed. The built program and the tests run in strict mode. */
const isStrict = (() => {
  try {
    (Object.freeze([0]) as number[])[0] = 1;
    return false;
  } catch {
    return true;
  }
})();

type Table = Record<string, unknown>;

const isTable = (value: unknown): value is Table => typeof value === 'object' && value !== null;

/** A frozen list is copied many times as fast by spreading it as by `slice`. */
const copyOf = <T>(value: T): T =>
  Array.isArray(value) ? ([...(value as readonly unknown[])] as T) : isTable(value) ? { ...value } : value;

const copyStep = (step: StepState): StepState => ({
  ...step,
  with: [...step.with],
  performers: [...step.performers],
  acted: [...step.acted],
  named: [...step.named],
  reopened: [...step.reopened],
});

const copyAt = <T>(table: Readonly<Record<string, T>>, key: string | undefined, copy: (value: T) => T): void => {
  if (key === undefined || !Object.hasOwn(table, key)) return;
  (table as Record<string, T>)[key] = copy(table[key] as T);
};

/** Fields that an entry replaces whole, or not at all. */
const whole: ReadonlySet<string> = new Set(['plan', 'started', 'completed', 'reopened', 'withdrawn']);

/** The job with its own copy of every list and table, and of what it has of one step and one reading. */
const opened = (job: JobState, { step, reading }: About): JobState => {
  const copy = { ...job };
  for (const key of Object.keys(job))
    if (!whole.has(key)) (copy as unknown as Table)[key] = copyOf((job as unknown as Table)[key]);
  copyAt(copy.steps, step, copyStep);
  copyAt(copy.fasteners, step, copyOf);
  copyAt(copy.tries, reading, copyOf);
  return copy;
};

const settledList = (now: unknown[], was: readonly unknown[] | undefined): unknown => {
  let isSame = was?.length === now.length;
  for (let index = 0; index < now.length; index += 1) {
    const [is, value] = [now[index], was?.[index]];
    if (is === value) continue;
    now[index] = settled(is, value);
    isSame &&= now[index] === value;
  }
  return isSame ? was : Object.freeze(now);
};

/** Freezes what has changed, with all that is in it, and puts back what has not. */
const settled = (now: unknown, before: unknown): unknown => {
  if (now === before || !isTable(now) || Object.isFrozen(now)) return now;
  if (Array.isArray(now)) return settledList(now, Array.isArray(before) ? before : undefined);
  const was = isTable(before) && Array.isArray(before) === Array.isArray(now) ? before : undefined;
  const keys = Object.keys(now);
  let isSame = was !== undefined && Object.keys(was).length === keys.length;
  for (const key of keys) {
    const value = was !== undefined && Object.hasOwn(was, key) ? was[key] : undefined;
    if (now[key] === value) continue;
    const is = settled(now[key], value);
    if (is !== now[key]) now[key] = is;
    if (is !== value) isSame = false;
  }
  return isSame ? was : Object.freeze(now);
};

/** The copy, changed; `undefined` where the change went deeper than it. */
const changedCopy = (job: JobState, about: About, change: (draft: JobDraft) => void): JobState | undefined => {
  const copy = opened(job, about);
  try {
    change(copy as JobDraft);
  } catch (error) {
    if (error instanceof TypeError) return undefined; // an error of another origin is thrown again by the general draft
    throw error;
  }
  return settled(copy, job) as JobState;
};

/** The job after a change. A frozen job is one that this function made, so all of it is frozen. */
export const changed = (job: JobState, about: About, change: (draft: JobDraft) => void): JobState =>
  (isStrict && Object.isFrozen(job) ? changedCopy(job, about, change) : undefined) ?? produce(job, change);
