import type { Overbuilt } from '../job/surroundings.ts';
import { msOf } from '../job/cure.ts';
import {
  becauseOfRatio,
  becauseOfSample,
  causeOfRatio,
  causeOfSample,
  isOutOfRatio,
  jointsOf,
  sampleFailed,
} from '../job/joints.ts';
import { isEnded } from '../job/nonconformances.ts';
import { doubtsOf } from '../job/parts/all.ts';
import type { KnownNow } from '../job/parts/part.ts';
import type { JobState, Logged } from '../job/state.ts';
import type { Stamp } from '../job/stamp.ts';
import { stepStateOf } from '../job/step-state.ts';
import type { Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { memoised, memoisedBy } from '../fault/memo.ts';
import type { BuildFile } from './file.ts';
import { someJob, type Trait } from './jobs.ts';
import { emptyBuild, jobsOf, type BuildState } from './state.ts';
import { lotIn, partIn } from './stock.ts';
import { own } from '../fault/own.ts';

/** Work on which other work may have been built: a step of a job, from when, and until when where it was taken apart again. */
export interface Ground {
  readonly job: JobState;
  readonly step: Step;
  /** When the work was there, ms since 1970. */
  readonly from: number;
  /** When it was taken apart, ms since 1970; absent while it was not. */
  readonly until?: number;
}

/** A finished step that was built over other work. */
export interface BuiltOver {
  readonly job: JobState;
  readonly step: Step;
  readonly finished: Stamp;
  /** Why, for a person: `relies on keel-line, which spread set`. */
  readonly why: string;
  /** The work that the step was built over. */
  readonly of: Pick<Ground, 'job' | 'step'>;
}

/** The first name that is in both lists. */
export const shared = (some: readonly string[], others: readonly string[]): string | undefined =>
  some.find((one) => others.includes(one));

const nameOf = ({ job, step }: Pick<Ground, 'job' | 'step'>, seenFrom: JobState): string =>
  job.id === seenFrom.id ? step.step : `${step.step} of ${job.id}`;

/** Why a step depends on other work: a feature that the work set or proved, or an area that is now covered. */
export const whyOver = (step: Step, job: JobState, ground: Pick<Ground, 'job' | 'step'>): string | undefined => {
  const below = ground.step;
  const relied = shared(step.reliesOn, [...below.sets, ...below.proves]);
  if (relied !== undefined)
    return `relies on ${relied}, which ${nameOf(ground, job)} ${below.sets.includes(relied) ? 'set' : 'proved'}`;
  const set = shared(step.sets, below.proves);
  if (set !== undefined) return `made ${set} permanent, which ${nameOf(ground, job)} proved`;
  const covered = shared(step.covers, [...below.reaches, ...below.covers]);
  return covered === undefined ? undefined : `covers ${covered}, where ${nameOf(ground, job)} lies`;
};

/** When a step was finished, where that was after the work below it was done and before that work was taken apart. */
const finishedOver = (job: JobState, step: Step, ground: Ground): Stamp | undefined => {
  const { state, finished } = stepStateOf(job, step.step);
  if (state !== 'done' || !finished || (job.id === ground.job.id && step.step === ground.step.step)) return undefined;
  const ms = msOf(finished.when);
  return ms >= ground.from && (ground.until === undefined || ms <= ground.until) ? finished : undefined;
};

const builtOnFeatures = (job: JobState, ground: Ground): readonly BuiltOver[] =>
  job.plan.steps.flatMap((step) => {
    const finished = finishedOver(job, step, ground);
    const why = finished && whyOver(step, job, ground);
    return finished && why !== undefined ? [{ job, step, finished, why, of: ground }] : [];
  });

/** True where a job could be started only because another was complete (`after`), on the same side where both have sides. */
export const startedAfter = (
  job: JobState,
  { job: below, from, until }: Pick<Ground, 'job' | 'from' | 'until'>,
): boolean => {
  const after = job.plan.after.some((one) => one.procedure === below.procedure);
  const otherSide = job.side !== undefined && below.side !== undefined && job.side !== below.side;
  if (!after || otherSide || job.id === below.id) return false;
  const started = msOf(job.started.when);
  const completions = below.log.filter((one) => one.type === 'complete').map((one) => msOf(one.when));
  return started >= from && (until === undefined || started <= until) && completions.some((ms) => ms <= started);
};

/** The permanent steps of a job count as built over the earlier one; in a job without permanent steps, its last finished step. */
const builtAfter = (job: JobState, ground: Ground): readonly BuiltOver[] => {
  if (!startedAfter(job, ground)) return [];
  const done = job.plan.steps.flatMap((step) => {
    const { state, finished } = stepStateOf(job, step.step);
    return state === 'done' && finished ? [{ step, finished }] : [];
  });
  const permanent = done.filter(({ step }) => step.permanent);
  const why = `was done after ${ground.job.procedure}, in ${ground.job.id}`;
  return (permanent.length > 0 ? permanent : done.slice(-1)).map((one) => ({ ...one, job, why, of: ground }));
};

/** Everything that was built over some work, and over that in turn, across all jobs. Each step is listed once, the nearest first. */
export const builtOver = (state: BuildState, grounds: readonly Ground[]): readonly BuiltOver[] => {
  const found = new Map<string, BuiltOver>();
  const key = ({ job, step }: Pick<Ground, 'job' | 'step'>): string => `${job.id} ${step.step}`;
  const own = new Set(grounds.map(key));
  const open = [...grounds];
  for (let ground = open.shift(); ground; ground = open.shift()) {
    for (const job of jobsOf(state))
      for (const over of [...builtOnFeatures(job, ground), ...builtAfter(job, ground)]) {
        if (own.has(key(over)) || found.has(key(over))) continue;
        found.set(key(over), over);
        open.push({ job, step: over.step, from: msOf(over.finished.when) });
      }
  }
  return [...found.values()];
};

/** The work at a step of this id: from when (ms since 1970), until the entry that took it apart. */
export const groundAt = (
  job: JobState,
  step: string | undefined,
  from: number,
  takenApart?: string,
): readonly Ground[] => {
  const found = step === undefined ? undefined : stepOf(job.plan, step);
  const until = loggedMs(job, takenApart);
  return found ? [{ job, step: found, from, ...(until === undefined ? {} : { until }) }] : [];
};

/** When an entry of the job happened, ms since 1970. */
const loggedMs = (job: JobState, entry: string | undefined): number | undefined => {
  const logged = job.log.find((one) => one.entry === entry);
  return logged && msOf(logged.when);
};

/** The joints of a batch: each from when it was last worked on, until the batch was set aside. */
export const groundsOfBatch = (job: JobState, batch: JobState['batches'][number]): readonly Ground[] =>
  jointsOf(job, batch).flatMap((joint: Logged) => groundAt(job, joint.step, msOf(joint.when), batch.superseded));

interface Cause {
  readonly cause: string;
  readonly because: string;
  readonly grounds: readonly Ground[];
}

/**
 * Joints that were done anew after their sample failed, or after their batch was found outside its ratio. What had been built over the old
 * joints still rests on work that is gone.
 */
const redone = (job: JobState): readonly Cause[] =>
  job.batches
    .filter(({ superseded }) => superseded !== undefined)
    .flatMap((batch) => {
      const grounds = groundsOfBatch(job, batch);
      return [
        ...(sampleFailed(batch) ? [{ cause: causeOfSample(batch), because: becauseOfSample(batch), grounds }] : []),
        ...(isOutOfRatio(batch) ? [{ cause: causeOfRatio(batch), because: becauseOfRatio(batch), grounds }] : []),
      ];
    });

/** What is in doubt in one job and not decided yet, by its cause. */
const causesIn = (state: BuildState, job: JobState): readonly Cause[] => {
  const doubts = doubtsOf(job, knownNow(state)).filter((doubt) => !isEnded(job, doubt));
  const started = msOf(job.started.when);
  return [
    ...redone(job),
    ...doubts.map(({ cause, because, step }) => ({
      cause,
      because,
      grounds: groundAt(job, step, stepStart(job, step) ?? started),
    })),
  ];
};

/** When work on a step began, ms since 1970. */
const stepStart = (job: JobState, step: string): number | undefined => {
  const { begun, last } = stepStateOf(job, step);
  const stamp = begun ?? last;
  return stamp && msOf(stamp.when);
};

/** What the build knows now of the tools, lots and parts that its jobs used. */
const knownNow = (state: BuildState): KnownNow => ({
  found: (tool) => own(state.found, tool) ?? [],
  lot: (material, number) => lotIn(state, material, number),
  part: (part, serial, lot) => partIn(state, part, serial, lot),
});

const hasBadBatch = memoised((job: JobState): boolean =>
  job.batches.some((batch) => sampleFailed(batch) || isOutOfRatio(batch)),
);

/**
 * Whether anything of a job is in doubt by what a build.yaml says of its lots, where no tool was found wrong and nothing is in quarantine.
 * What is left of a lot changes with every batch, and nothing here depends on it.
 */
const isInDoubtBy = memoisedBy(
  (job: JobState, file: BuildFile): boolean =>
    job.lots.length > 0 && doubtsOf(job, knownNow({ ...emptyBuild, file })).length > 0,
);

const isInDoubt = (state: BuildState): boolean =>
  Object.keys(state.quarantines).length > 0 ||
  Object.values(state.found).some((found) => found.some((one) => one.what === 'wrong')) ||
  someJob(state.jobs, inDoubtByFile, state.file);

/** Jobs of which something may be in doubt although no tool was found wrong and nothing is in quarantine. */
export const inDoubtByFile: Trait = {
  letter: 'd',
  isByFile: true,
  holds: (job, file) => hasBadBatch(job) || isInDoubtBy(job, file),
};

/** One item for each cause, with all the work that the cause puts in doubt. */
const merged = (causes: readonly Cause[]): readonly Cause[] => {
  const byName = new Map<string, Cause>();
  for (const one of causes)
    byName.set(one.cause, { ...one, grounds: [...(byName.get(one.cause)?.grounds ?? []), ...one.grounds] });
  return [...byName.values()];
};

const overbuilt = (state: BuildState): ReadonlyMap<string, readonly Overbuilt[]> => {
  const byJob = new Map<string, Overbuilt[]>();
  for (const { cause, because, grounds } of merged(jobsOf(state).flatMap((one) => causesIn(state, one))))
    for (const { job, step, finished, why } of builtOver(state, grounds)) {
      const raised = {
        on: step.step,
        step: step.step,
        key: `over ${cause} ${finished.entry}`,
        what: `${step.step} ${why}: ${because}`,
      };
      byJob.set(job.id, [...(byJob.get(job.id) ?? []), raised]);
    }
  return byJob;
};

const nothing: ReadonlyMap<string, readonly Overbuilt[]> = new Map();

const overbuiltOf = memoised((state: BuildState) => (isInDoubt(state) ? overbuilt(state) : nothing));

/** True where nothing in the build is in doubt for which other work could have to answer. */
export const isNothingOverbuilt = (state: BuildState): boolean => overbuiltOf(state).size === 0;

/**
 * Rule 7 of the design across jobs: the finished steps of one job that were built over work which a failed sample, a wrong tool, a lot or a
 * part put in doubt.
 */
export const overbuiltIn = (state: BuildState, job: JobState): readonly Overbuilt[] =>
  overbuiltOf(state).get(job.id) ?? [];
