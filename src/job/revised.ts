import type { Change } from '../procedure/compare/change.ts';
import { compareProcedures } from '../procedure/compare/compare.ts';
import { renameSteps } from '../procedure/compare/rename-steps.ts';
import type { Mix, Step } from '../procedure/model.ts';
import { stepOf, type Plan } from '../procedure/plan.ts';
import { given } from '../procedure/schema/leaves.ts';
import { inspectedSteps, standingRelease } from './hold.ts';
import { wantedOf } from './parts/all.ts';
import { newNamesIn, rekeyed, type NewNames } from './rekey.ts';
import type { JobState } from './state.ts';
import type { Resolution } from './judged.ts';
import { troublesOf } from './troubles.ts';
import { stepApplies, stepStateOf } from './step-state.ts';
import { own } from '../fault/own.ts';

/** The place of a change, by which decisions name it. */
export const changeKey = ({ step, reading, what }: Pick<Change, 'step' | 'reading' | 'what'>): string =>
  [step === '' ? 'head' : step, ...(reading === undefined ? [] : [reading]), what].join(' ');

/** The same place for a person, with no word repeated: `down limits`, where reading and step have the same name. */
export const changeName = ({ step, reading, what }: Pick<Change, 'step' | 'reading' | 'what'>): string =>
  [...new Set([step === '' ? 'head' : step, reading, what])].filter((word) => word !== undefined).join(' ');

/** What a plan changes for a job. Only ids that a person confirmed as the same are matched, because records are kept by id. */
export const changesFor = (before: Plan, plan: Plan, names: NewNames): readonly Change[] => {
  const { changes } = compareProcedures(before, plan, { renamed: names, propose: false });
  return changes;
};

/** The latest decision about each change of a text, by the place of the change. */
export const resolutionsOf = (job: JobState, sha256: string): ReadonlyMap<string, Resolution> =>
  new Map(
    job.resolutions
      .filter((resolution) => resolution.sha256 === sha256)
      .flatMap((resolution) => resolution.covers.map((key) => [key, resolution] as const)),
  );

const isTouched = (job: JobState, step: Step): boolean =>
  own(job.steps, step.step) !== undefined || step.readings.some(({ reading }) => own(job.tries, reading) !== undefined);

/** What a step holds of entries for which the new plan has no place; `undefined` where it has a place for all. */
const leftOf = (job: JobState, step: Step, plan: Plan): Step | undefined => {
  if (!isTouched(job, step)) return undefined;
  const now = stepOf(plan, step.step);
  if (now === undefined) return step;
  const kept = new Set(plan.steps.flatMap(({ readings }) => readings.map(({ reading }) => reading)));
  const readings = step.readings.filter(({ reading }) => !kept.has(reading) && own(job.tries, reading) !== undefined);
  const tighten = now.tighten === undefined && own(job.fasteners, step.step) !== undefined ? step.tighten : undefined;
  const mix = now.mix === undefined && job.batches.some((batch) => batch.step === step.step) ? step.mix : undefined;
  const hold = now.hold === undefined && own(job.looks, step.step) !== undefined ? step.hold : undefined;
  if (readings.length === 0 && !tighten && !mix && !hold) return undefined;
  const bare = { ...step, results: [], photos: [], cure: undefined, break: undefined };
  return given({ ...bare, readings, tighten, mix, hold }) as Step;
};

const ratioText = ({ ratio, by, tolerance }: Mix): string =>
  [by, tolerance.text, ...ratio.map(({ part, share }) => `${part} ${share}`)].join(' ');

/** A batch that was mixed keeps the page to which it was mixed, and is judged by it. */
const withMixes = (batches: JobState['batches'], before: readonly Step[], plan: Plan): JobState['batches'] => {
  const mixes = new Map(before.map(({ step, mix }) => [step, mix]));
  return batches.map((batch) => {
    const [old, now] = [mixes.get(batch.step), stepOf(plan, batch.step)?.mix];
    const isOther = old !== undefined && now !== undefined && ratioText(old) !== ratioText(now);
    return isOther ? { ...batch, mixedTo: batch.mixedTo ?? old } : batch;
  });
};

/** The job on its new plan, with everything entered in its new place. No step is opened again yet. */
const carriedOver = (job: JobState, plan: Plan, names: NewNames): JobState => {
  const renamed = rekeyed(job, names);
  const ids = new Map(Object.entries(names));
  const former = renameSteps(job.plan.steps, { steps: ids, values: ids });
  const known = new Set(plan.steps.map(({ step }) => step));
  return {
    ...renamed,
    plan,
    revision: plan.revision,
    batches: withMixes(renamed.batches, former, plan),
    laidAside: job.laidAside.filter((step) => known.has(step)),
    former: [...job.former, ...former.flatMap((step) => leftOf(renamed, step, plan) ?? [])],
  };
};

/** The parts of a hold whose change gives its release another meaning. */
const holdKeys: ReadonlySet<string> = new Set(['by', 'kind', 'remote', 'of', 'self', 'look-for']);

/** True for a change after which a hold asks for more, or for another look, than the one that was released. */
export const asksAnew = ({ what, kind }: Change): boolean => {
  const [part, key] = what.split(' ');
  if (part !== 'hold' || kind === 'text' || kind === 'same-in-other-unit' || kind === 'moved') return false;
  return key === undefined ? kind !== 'removed' : holdKeys.has(key) && kind !== 'removed';
};

const isStanding = (job: JobState, step: Step): boolean =>
  !stepApplies(job, step) || stepStateOf(job, step.step).state !== 'todo';

/** Why a finished step does not meet the new plan; `undefined` where it does. */
const whyNot = (
  job: JobState,
  step: Step,
  changes: readonly Change[],
  isLeft: (change: Change) => boolean,
): string | undefined => {
  const own = changes.filter((change) => change.step === step.step);
  const isDecided = (on: string): boolean => own.some((change) => change.reading === on && isLeft(change));
  const trouble = troublesOf(job, step).find(({ on }) => !isDecided(on));
  if (trouble !== undefined) return trouble.what;
  const asked = own.filter((change) => !isLeft(change));
  const [missing] = asked.length > 0 ? wantedOf(job, step) : [];
  if (missing !== undefined) return `the new page wants ${missing.what}`;
  if (step.hold === undefined || standingRelease(job, step.step) === undefined) return undefined;
  if (asked.some(asksAnew)) return 'the new page has it looked at otherwise';
  const unseen = inspectedSteps(job.plan, step).find((seen) => !isStanding(job, seen));
  return unseen === undefined ? undefined : `${unseen.step} was not there when it was released`;
};

interface Reopened {
  readonly step: string;
  readonly because: string;
}

/** True for a change that the records cannot show to be done, so that complying means doing the work anew. */
export const isWork = ({ kind, what }: Change): boolean =>
  kind !== 'same-in-other-unit' &&
  kind !== 'renamed' &&
  kind !== 'moved' &&
  !(kind === 'text' && !/^(?:do|say|warning|caution)/.test(what)) &&
  !/^(?:title|why|note|takes|back-to|again)/.test(what);

/** True where the latest value of a reading or result is already within what the change asks for. */
const isMet = (job: JobState, change: Change): boolean => {
  const step = stepOf(job.plan, change.step);
  return change.reading !== undefined && step !== undefined && troublesOf(job, step).length === 0;
};

/** True where complying with a change means doing a finished step again. */
export const mustRedo = (job: JobState, change: Change): boolean =>
  isWork(change) && !isMet(job, change) && stepStateOf(job, change.step).state === 'done';

/** The finished steps of a job on its new plan that do not meet that plan, with the builder's decisions applied. */
const reopenedBy = (
  job: JobState,
  changes: readonly Change[],
  decided: ReadonlyMap<string, Resolution>,
): readonly Reopened[] => {
  const kindOf = (change: Change): Resolution['kind'] | undefined => decided.get(changeKey(change))?.kind;
  const isLeft = (change: Change): boolean => kindOf(change) === 'not-applicable' || kindOf(change) === 'record-only';
  const complied = new Map(
    changes
      .filter((change) => kindOf(change) === 'comply' && mustRedo(job, change))
      .map((change) => [change.step, `to comply with ${changeKey(change)}`]),
  );
  return job.plan.steps.flatMap((step) => {
    if (stepStateOf(job, step.step).state !== 'done') return [];
    const because = whyNot(job, step, changes, isLeft) ?? complied.get(step.step);
    return because === undefined ? [] : [{ step: step.step, because }];
  });
};

/** Added steps that the builder decided not to do in this job. */
const laidAsideBy = (changes: readonly Change[], decided: ReadonlyMap<string, Resolution>): readonly string[] =>
  changes.flatMap((change) => {
    const kind = decided.get(changeKey(change))?.kind;
    const isNew = change.what === 'step' && change.kind === 'added';
    return isNew && (kind === 'not-applicable' || kind === 'record-only') ? [change.step] : [];
  });

export interface Revised {
  /** The job on its new plan, without the steps decided against; no step is opened again yet. */
  readonly job: JobState;
  readonly changes: readonly Change[];
  readonly names: NewNames;
  readonly reopened: readonly Reopened[];
}

/** What becomes of a job on another plan of its procedure: which steps still count, which do not, and why. */
export const revisedTo = (job: JobState, plan: Plan, sha256: string, named: NewNames): Revised => {
  const names = newNamesIn(job.plan, named);
  const changes = changesFor(job.plan, plan, names);
  const decided = resolutionsOf(job, sha256);
  const carried = carriedOver(job, plan, names);
  const now = { ...carried, laidAside: [...new Set([...carried.laidAside, ...laidAsideBy(changes, decided)])] };
  return { job: now, changes, names, reopened: reopenedBy(now, changes, decided) };
};
