import type { Surroundings } from '../job/surroundings.ts';
import { inspectedSteps, standingRelease } from '../job/hold.ts';
import { nonconformances } from '../job/nonconformances.ts';
import { wantedOf } from '../job/parts/all.ts';
import type { NewNames } from '../job/rekey.ts';
import { asksAnew, changeKey, isWork, resolutionsOf, revisedTo, type Revised } from '../job/revised.ts';
import type { JobState } from '../job/state.ts';
import type { ResolutionKind } from '../job/judged.ts';
import { allLatest, ownLimits, resultNow } from '../job/values.ts';
import { troublesOf } from '../job/troubles.ts';
import { ownVerdict } from '../job/parts/reading.ts';
import { verdictOfResult } from '../job/parts/result.ts';
import { stepStateOf } from '../job/step-state.ts';
import { isClosed, isWithdrawn } from '../job/where.ts';
import type { Change, PlainChange } from '../procedure/compare/change.ts';
import { plainChange } from '../procedure/compare/change.ts';
import type { Procedure, Reading, Step } from '../procedure/model.ts';
import { planFor, readingOf, resultOf as resultIn, stepOf } from '../procedure/plan.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { aroundOf } from './surroundings.ts';
import { jobsOf, type BuildState } from './state.ts';
import { own } from '../fault/own.ts';

/**
 * What a change means for work of which the build has records.
 * - `nothing`: nobody has to do anything; work not yet done follows the new page once the job is moved.
 * - `within`, `outside`: the value entered is within, or no longer within, the new limits.
 * - `never-done`: the new page adds something to finished work, or adds a step that the job has passed.
 * - `hold-changed`: a release looked at other work, or for other things, than the new page wants.
 * - `permanent-taken`: work that cannot be undone was done, and the new page asks for it in another way.
 */
export type Meaning = 'nothing' | 'within' | 'outside' | 'never-done' | 'hold-changed' | 'permanent-taken';

export interface ChangeImpact extends PlainChange {
  readonly meaning: Meaning;
  /** The value, step or release concerned, in words for a person. */
  readonly shown?: string;
  /** What the builder has already decided about the change. */
  readonly decided?: ResolutionKind;
}

export interface JobImpact {
  /** Absent where no job of this side is begun. */
  readonly job?: string;
  readonly procedure: string;
  readonly side?: string;
  /** The revision that the job follows now. */
  readonly revision?: string;
  readonly state: 'done' | 'under way' | 'not begun';
  readonly changes: readonly ChangeImpact[];
  /** Finished steps that would be open again if the job were moved now. */
  readonly reopens: readonly string[];
}

type Told = Pick<ChangeImpact, 'meaning' | 'shown'>;

const nothing: Told = { meaning: 'nothing' };

/** Everything that is needed to judge one change. */
interface Judging {
  readonly before: JobState;
  readonly now: JobState;
  readonly around: Surroundings;
  readonly change: Change;
  readonly step: Step;
}

const ofReading = (now: JobState, reading: Reading): Told => {
  const taken = allLatest(now, reading);
  const verdicts = taken.map((one) => ownVerdict(now, reading, one));
  const limits = ownLimits(reading)?.text ?? 'what is accepted';
  const values = `${reading.reading} ${taken.map(({ value }) => value).join(', ')}`;
  if (verdicts.some((verdict) => verdict === 'outside' || verdict === 'undecided'))
    return { meaning: 'outside', shown: `${values} no longer lies within ${limits}` };
  return verdicts.includes('within') ? { meaning: 'within', shown: `${values} still lies within ${limits}` } : nothing;
};

const ofResult = (now: JobState, id: string): Told => {
  const result = resultIn(now.plan, id)?.result;
  const value = resultNow(now, id)?.quantity;
  const verdict = result && verdictOfResult(now, result);
  if (!result || !value || verdict === undefined) return nothing;
  const [word, meaning] =
    verdict === 'within' ? (['still lies', 'within'] as const) : (['no longer lies', 'outside'] as const);
  return { meaning, shown: `${id} ${printQuantity(value)} ${word} within ${result.limits?.text ?? ''}` };
};

/** Decides values again, for a change of their limits. */
const ofValues = ({ now, around, change, step }: Judging): Told => {
  if (change.reading !== undefined) {
    const reading = readingOf(now.plan, change.reading)?.reading;
    return reading ? ofReading(now, reading) : ofResult(now, change.reading);
  }
  const part = change.what.split(' ')[0];
  if (part === 'tighten' && own(now.fasteners, step.step) !== undefined) {
    const [trouble] = troublesOf(now, step);
    return trouble
      ? { meaning: 'outside', shown: `${trouble.what} by the new page` }
      : { meaning: 'within', shown: `every fastener of ${step.step} still lies within` };
  }
  if (part === 'cure') {
    const short = nonconformances(now, around).find((one) => one.step === step.step && one.key.startsWith('cure '));
    return short
      ? { meaning: 'outside', shown: `${short.what}, by the new page` }
      : { meaning: 'within', shown: `the cure ${step.step} had reached its stage by the new page too` };
  }
  return nothing;
};

const isTaken = ({ before, step }: Judging): boolean =>
  step.permanent || before.batches.some((batch) => batch.step === step.step && batch.superseded === undefined);

/** Judges a change of finished or begun work. */
const ofWork = (judging: Judging): Told => {
  const { before, now, change, step } = judging;
  if (asksAnew(change) && standingRelease(before, step.step))
    return { meaning: 'hold-changed', shown: `${step.step} was released by the old page` };
  if (!isWork(change)) return nothing;
  const value = ofValues(judging);
  if (value.meaning !== 'nothing') return value;
  const isDone = stepStateOf(before, step.step).state === 'done';
  const [missing] = isDone ? wantedOf(now, step) : [];
  if (missing !== undefined && change.kind !== 'text' && change.kind !== 'removed')
    return { meaning: 'never-done', shown: `the new page wants ${missing.what}` };
  if (isTaken(judging) && change.kind !== 'text')
    return { meaning: 'permanent-taken', shown: `${step.step} is done, and cannot be undone without damage` };
  return change.kind === 'text' && isDone
    ? { meaning: 'nothing', shown: `${step.step} was done by the old words` }
    : nothing;
};

/** Judges a step that the new page adds. The job reaches an added step in its turn, unless the job has already passed that place. */
const ofAdded = (before: JobState, now: JobState, step: Step): Told => {
  const at = now.plan.steps.indexOf(step);
  const isPassed =
    isClosed(before) || now.plan.steps.some((one, index) => index > at && stepStateOf(now, one.step).state === 'done');
  const fixed = now.plan.steps.find(
    (one) =>
      one.permanent &&
      stepStateOf(now, one.step).state === 'done' &&
      one.sets.some((feature) => step.proves.includes(feature)),
  );
  if (fixed)
    return { meaning: 'permanent-taken', shown: `${fixed.step} is done, and ${step.step} would have come first` };
  return isPassed ? { meaning: 'never-done', shown: `${step.step} was never done` } : nothing;
};

const meaningOf = (job: JobState, { job: now }: Revised, change: Change, around: Surroundings): Told => {
  const step = change.step === '' ? undefined : stepOf(now.plan, change.step);
  if (step === undefined) return nothing;
  if (change.kind === 'added' && change.what === 'step') return ofAdded(job, now, step);
  const { state, begun } = stepStateOf(now, step.step);
  if (state === 'todo' && begun === undefined) return nothing;
  return ofWork({ before: job, now, around, change, step });
};

/** Holds that were released, and whose inspected work is now to be done anew or was never inspected. */
const shakenHolds = (
  job: JobState,
  { job: now, reopened }: Revised,
): readonly { readonly step: string; readonly because: string }[] =>
  now.plan.steps.flatMap((hold) => {
    if (hold.hold === undefined || standingRelease(job, hold.step) === undefined) return [];
    const own = reopened.find(({ step }) => step === hold.step);
    if (own !== undefined) return [own];
    const seen = new Set(inspectedSteps(now.plan, hold).map(({ step }) => step));
    const [under] = reopened.filter(({ step }) => seen.has(step));
    return under === undefined
      ? []
      : [{ step: hold.step, because: `released over ${under.step}, which does not stand` }];
  });

const holdImpacts = (job: JobState, revised: Revised, told: readonly ChangeImpact[]): readonly ChangeImpact[] =>
  shakenHolds(job, revised)
    .filter(({ step }) => !told.some((one) => one.step === step && one.meaning === 'hold-changed'))
    .map(({ step, because }) => ({
      step,
      kind: 'changed',
      what: 'inspected work',
      meaning: 'hold-changed',
      shown: because,
    }));

const ofJob = (state: BuildState, job: JobState, procedure: Procedure, sha256: string, names: NewNames): JobImpact => {
  const about = {
    job: job.id,
    procedure: job.procedure,
    ...(job.side === undefined ? {} : { side: job.side }),
    revision: job.revision,
    state: isClosed(job) ? ('done' as const) : ('under way' as const),
  };
  if (job.sha256 === sha256) return { ...about, changes: [], reopens: [] };
  const around = aroundOf(state, job, state.lastAt);
  const plan = planFor(procedure, job.side);
  // `revised` is what the records say, before any decision of the builder. A move would open what is left once those decisions are heeded.
  const revised = revisedTo({ ...job, resolutions: [] }, plan, sha256, names);
  const decided = resolutionsOf(job, sha256);
  const changes = revised.changes.map((change): ChangeImpact => {
    const kind = decided.get(changeKey(change))?.kind;
    return {
      ...plainChange(change),
      ...meaningOf(job, revised, change, around),
      ...(kind === undefined ? {} : { decided: kind }),
    };
  });
  const heeded = revisedTo(job, plan, sha256, names);
  // A hold that was released but not yet finished loses its release. The hold is open already, so it is not listed as opened again.
  const shaken = shakenHolds(job, heeded).filter(({ step }) => stepStateOf(job, step).state === 'done');
  return {
    ...about,
    changes: [...changes, ...holdImpacts(job, revised, changes)],
    reopens: [...new Set([...heeded.reopened, ...shaken].map(({ step }) => step))],
  };
};

/** What a revision means for every job of its procedure, and for the sides where no job is begun. Decided from the records alone. */
export const impactOf = (
  state: BuildState,
  procedure: Procedure,
  sha256: string,
  names: NewNames = {},
): readonly JobImpact[] => {
  const jobs = jobsOf(state).filter((job) => job.procedure === procedure.procedure && !isWithdrawn(job));
  const sides = procedure.each.length === 0 ? [undefined] : procedure.each;
  const idle = sides.filter((side) => !jobs.some((job) => job.side === side));
  return [
    ...jobs
      .filter((job) => job.side === undefined || procedure.each.includes(job.side))
      .map((job) => ofJob(state, job, procedure, sha256, names)),
    ...idle.map((side): JobImpact => ({
      procedure: procedure.procedure,
      ...(side === undefined ? {} : { side }),
      state: 'not begun',
      changes: [],
      reopens: [],
    })),
  ];
};
