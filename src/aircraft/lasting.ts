import { memoised, memoisedBy } from '../fault/memo.ts';
import { own } from '../fault/own.ts';
import type { JobState } from '../job/state.ts';
import type { Surroundings, TemperatureMark } from '../job/surroundings.ts';
import { isOver } from '../job/where.ts';
import { toPlainValue } from '../quantity/plain.ts';
import { parseInstant } from '../quantity/time.ts';
import { laidUp, placeOfJob } from './jobs.ts';
import { isNothingOverbuilt } from './over.ts';
import { jobOf, type BuildState } from './state.ts';
import { jobLater } from './status-later.ts';
import { jobStatus, type JobStatus } from './status.ts';
import { lotIn, partIn } from './stock.ts';
import { aroundOf, peopleNow, toolsNow } from './surroundings.ts';

/*
 * The status of a job depends on the job and on what it asks of the build around it. Nearly all jobs of a build of years are over, so the
 * status of each is kept with the questions that were asked when it was worked out. After any entries it is still true where the job is the
 * same and each question has the same answer; else it is worked out anew. Jobs under way are few, and are worked out for each state.
 */

/** A member of the surroundings, and what it was asked about. */
type Question = readonly [name: keyof Surroundings, ...about: string[]];

/** What was worked out of a job that is over. */
export interface LastingStatus {
  readonly status: JobStatus;
  readonly asked: readonly Question[];
  /** The last instant of which the job says anything, ms since 1970; `always` where temperatures of any time may bear on it. */
  readonly until: number;
}

/** Later than any instant; a number that JSON has. */
const always = Number.MAX_SAFE_INTEGER;

/** Whether a question has the same answer in two states of one build. */
type Same = (a: BuildState, b: BuildState, about: readonly string[], lasting: LastingStatus) => boolean;

const textOf = (value: unknown): string => JSON.stringify(value, toPlainValue) ?? '';

const answers =
  (of: (state: BuildState, about: readonly string[]) => unknown): Same =>
  (a, b, about) => {
    const [one, other] = [of(a, about), of(b, about)];
    return Object.is(one, other) || textOf(one) === textOf(other);
  };

/** Only for what is compared as an object or a plain value. */
const values =
  (of: (state: BuildState, about: readonly string[]) => unknown): Same =>
  (a, b, about) =>
    Object.is(of(a, about), of(b, about));

/** The answer is found in other jobs, so it is not known whether it is the same. */
const never: Same = () => false;

const marksAt = (state: BuildState, place: string): readonly TemperatureMark[] | undefined =>
  own(state.temperatures, place);

/**
 * True where temperatures were only added, each of a later time than all before, and of no earlier time. Those say nothing of an instant
 * before the last one that was known already.
 */
const areLater = memoised((before: readonly TemperatureMark[]) =>
  memoised((after: readonly TemperatureMark[]): boolean => {
    const last = before.at(-1)?.ms ?? always;
    return (
      before.every((mark, index) => mark === after[index]) &&
      after.slice(before.length).every(({ ms, since = ms, doubtful }) => Math.min(ms, since) > last && !doubtful)
    );
  }),
);

const temperaturesSame: Same = (a, b, [place = ''], { until }) => {
  if (a.temperatures === b.temperatures) return true; // and none of them need be read
  const [before, after] = [marksAt(a, place), marksAt(b, place)];
  if (before === undefined || after === undefined || before === after) return before === after;
  return (before.at(-1)?.ms ?? 0) > until && areLater(before)(after);
};

const same: { readonly [Name in keyof Required<Surroundings>]: Same } = {
  people: answers(peopleNow),
  gates: answers(({ file }) => file.gates),
  tools: answers(toolsNow),
  lot: answers((state, [material = '', number = '']) => lotIn(state, material, number)),
  part: answers((state, [part = '', serial = '', lot]) => partIn(state, part, serial, lot)),
  temperatures: temperaturesSame,
  logs: values((state, [place = '']) => own(state.logs, place)),
  contradictions: values(({ contradictions }) => contradictions),
  struck: values(({ struck }) => struck),
  clockSince: values(({ clockTrouble, clockSince }) => (clockTrouble ? Infinity : clockSince)),
  clockTrouble: values(({ clockTrouble }) => clockTrouble?.why),
  builtOver: (a, b) => isNothingOverbuilt(a) && isNothingOverbuilt(b),
  fittedAt: never,
  otherSides: never,
  provedElsewhere: never,
  coveredBy: never,
  stillReaching: never,
  gatePassed: never,
  gateSheet: never,
  looseItems: never,
  lotsUsedIn: never,
  contradictionsUnder: never,
  nextBatch: never,
  nextTag: never,
  named: never,
};

/** The answers of two states are compared once for all jobs. What depends on the job is only whether temperatures may grow. */
const compared = memoisedBy((_a: BuildState, _b: BuildState) => new Map<string, boolean>());

const isSameAnswer = (a: BuildState, b: BuildState, question: Question, lasting: LastingStatus): boolean => {
  const [name, ...about] = question;
  if (name === 'temperatures') return same[name](a, b, about, lasting);
  const known = compared(a, b);
  const key = question.join('\n');
  const found = known.get(key) ?? same[name](a, b, about, lasting);
  known.set(key, found);
  return found;
};

/** The surroundings, with a note of each question put to them. */
const noting = (around: Surroundings, asked: Map<string, Question>): Surroundings => {
  const note = (name: keyof Surroundings, about: readonly unknown[]): void => {
    const question: Question = [name, ...about.filter((one) => typeof one === 'string')];
    asked.set(question.join('\n'), question);
  };
  return new Proxy(around, {
    get: (target, name: keyof Surroundings) => {
      const value: unknown = target[name];
      if (typeof value !== 'function') {
        note(name, []);
        return value;
      }
      return (...about: readonly unknown[]): unknown => {
        note(name, about);
        return (value as (...about: readonly unknown[]) => unknown)(...about);
      };
    },
  });
};

/** The last instant in a job, ms since 1970: of every stamp in it but those of its story, which is long and says no more. */
const lastIn = (job: JobState): number => {
  let last = 0;
  const look = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return;
    for (const [name, part] of Object.entries(value)) {
      // a tool or a part may have that name as well
      const instant = name === 'when' && typeof part === 'string' ? parseInstant(part) : undefined;
      if (instant?.ok === true) last = Math.max(last, instant.value.ms);
      else look(part);
    }
  };
  for (const name of Object.keys(job) as (keyof JobState)[])
    if (name !== 'plan' && name !== 'former' && name !== 'log' && name !== 'remarks') look(job[name]);
  return last;
};

const lastingAt = (state: BuildState, job: JobState): LastingStatus => {
  const asked = new Map<string, Question>();
  const status = jobStatus(job, noting(aroundOf(state, job, state.lastAt), asked), state.lastAt);
  const isSettled = status.cures.length === 0 && state.clockTrouble === undefined;
  const until = isSettled ? Math.max(lastIn(job), state.clockSince) : always;
  return { status, asked: [...asked.values()], until };
};

/** Such a status, and a state of the build in which it was true. */
export interface Kept {
  readonly state: BuildState;
  readonly lasting: LastingStatus;
}

/** What was found last of a job, for as long as nothing changes the job. */
const lastFound = memoised((_place: object) => ({ kept: undefined as Kept | undefined }));

const isTrueIn = (state: BuildState, { state: then, lasting }: Kept): boolean =>
  state === then || lasting.asked.every((question) => isSameAnswer(then, state, question, lasting));

/** The status of a job that is over, if one was kept that is true in this state. Reads no job. */
export const lastingKept = (state: BuildState, id: string): LastingStatus | undefined => {
  const place = placeOfJob(state.jobs, id);
  if (place === undefined) return undefined;
  const found = lastFound(place);
  const kept = found.kept ?? (laidUp(state.jobs, id)?.kept() as Kept | undefined);
  if (kept === undefined || !isTrueIn(state, kept)) return undefined;
  found.kept = { state, lasting: kept.lasting };
  return kept.lasting;
};

/** The status of a job that is over; `undefined` for any other. Where none was kept, it is worked out and kept. */
export const lastingOf = (state: BuildState, id: string): LastingStatus | undefined => {
  const known = lastingKept(state, id);
  const job = known === undefined ? jobOf(state, id) : undefined;
  if (job === undefined || !isOver(job)) return known;
  const lasting = lastingAt(state, job);
  const place = placeOfJob(state.jobs, id);
  if (place !== undefined) lastFound(place).kept = { state, lasting };
  return lasting;
};

/** The status of a job at one instant, worked out only where none was kept that is true then. @param at ms since 1970, not before the last entry */
export const jobStatusAt = (state: BuildState, id: string, at: number): readonly JobStatus[] => {
  const lasting = lastingOf(state, id);
  if (lasting !== undefined) return [jobLater(lasting.status, at)];
  const job = jobOf(state, id);
  return job === undefined ? [] : [jobStatus(job, aroundOf(state, job, at), at)];
};
