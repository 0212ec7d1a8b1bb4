import type { Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { own } from '../fault/own.ts';
import type { ExceptedItem, GateItem, GateItemKind, GateSheet } from './gate-sheet.ts';
import { looksAt, standingRelease } from './hold.ts';
import { dueGate, isOpenItem, leftOpen } from './loose.ts';
import { nonconformances } from './nonconformances.ts';
import type { JobState, LooseItem } from './state.ts';
import { isSkipped, walkedSteps } from './step-state.ts';
import type { Surroundings } from './surroundings.ts';
import { currentStep, isClosed, placeMark } from './where.ts';

/** True where something due before the gate `due` must be closed before `gate` is passed: the same gate, or an earlier one. */
export const isDueBefore = (gates: readonly string[], due: string, gate: string): boolean => {
  if (due === gate) return true;
  const [at, of] = [gates.indexOf(gate), gates.indexOf(due)];
  return at !== -1 && of !== -1 && of < at;
};

const itemOf = (job: JobState, kind: GateItemKind, what: string, key: string): GateItem => ({
  kind,
  what,
  job: job.id,
  key,
});

const sided = ({ plan, side }: JobState): string =>
  side === undefined || plan.title.includes(side) ? plan.title : `${plan.title}, ${side}`;

/** A planned job that is not complete. Completed and opened again, it is open anew. */
const unfinishedItems = (job: JobState): readonly GateItem[] => {
  if (isClosed(job)) return [];
  const current = currentStep(job);
  const { number, count } = placeMark(job, current);
  const where =
    current === undefined ? 'every step is done, the job is not completed' : `${number} of ${count}: ${current.title}`;
  const again = job.reopened === undefined ? '' : ` ${job.reopened.entry}`;
  return [itemOf(job, 'unfinished', `${sided(job)}: ${where}`, `unfinished ${job.id}${again}`)];
};

const holdItems = (job: JobState, step: Step): readonly GateItem[] => {
  if (step.hold?.kind !== 'hold' || standingRelease(job, step.step)) return [];
  const voided = looksAt(job, step.step).filter((look) => look.voided !== undefined).length;
  return [itemOf(job, 'hold', `${step.title}, not released`, `hold ${job.id} ${step.step} ${voided}`)];
};

const photoItems = (job: JobState, step: Step): readonly GateItem[] =>
  step.photos.flatMap(({ photo, show }) => {
    const taken = job.photos.filter((one) => one.photo === photo);
    const again = taken.filter(({ superseded }) => superseded !== undefined).length;
    return taken.length > again
      ? []
      : [itemOf(job, 'photo', `${show}, not taken`, `photo ${job.id} ${photo} ${again}`)];
  });

/** What a gate wants of a job that is planned before it. A step that is left for later is on the sheet by its tag. */
export const plannedItems = (job: JobState): readonly GateItem[] => [
  ...unfinishedItems(job),
  ...walkedSteps(job).flatMap((step) =>
    isSkipped(job, step) ? [] : [...holdItems(job, step), ...photoItems(job, step)],
  ),
];

/** What every gate wants of every job that is begun, planned or not: samples, findings and nonconformances settled. */
export const settleItems = (job: JobState, around: Surroundings): readonly GateItem[] => [
  ...job.batches
    .filter((batch) => batch.sample && !batch.sample.broken && !batch.discarded && batch.superseded === undefined)
    .map((batch) =>
      itemOf(job, 'sample', `${batch.sample?.id ?? ''}, not broken yet`, `sample ${job.id} ${batch.batch}`),
    ),
  ...job.findings
    .filter((finding) => finding.closed === undefined)
    .map(({ number, text, answers }) => {
      const state = answers.length === 0 ? 'not answered' : 'answered, not looked at again';
      return itemOf(job, 'finding', `${number}, ${state}: ${text}`, `finding ${job.id} ${number}`);
    }),
  ...nonconformances(job, around)
    .filter((one) => one.open)
    .map((one) => itemOf(job, 'nonconformance', one.what, `nonconformance ${job.id} ${one.key}`)),
];

/** A tool that was left out is a loose item under the tool's id or its kind: it is counted back like any other. */
const isTool = (job: JobState, { item }: LooseItem, { tools }: Surroundings): boolean =>
  own(tools, item) !== undefined ||
  Object.values(tools).some(({ kind }) => kind === item) ||
  job.plan.gather.tools.some(({ tool }) => tool === item);

/** The tag; with a number, once a closing was undone and the item is open anew. */
const looseKey = ({ tag, closings }: Pick<LooseItem, 'tag' | 'closings'>): string => {
  const undone = closings.filter(({ superseded }) => superseded !== undefined).length;
  return undone === 0 ? tag : `${tag} ${undone}`;
};

const looseOf = (job: JobState, item: LooseItem, around: Surroundings): GateItem => {
  if (item.skipped)
    return itemOf(job, 'skipped', `${item.tag} ${stepOf(job.plan, item.item)?.title ?? item.item}`, looseKey(item));
  const isOut = isTool(job, item, around);
  const what = `${item.tag} ${item.item}: ${leftOpen(item)} ${item.left}`;
  return itemOf(job, isOut ? 'tool' : 'loose', isOut ? `${what}, not counted back` : what, looseKey(item));
};

/**
 * Loose items that must be closed before a gate. The last gate wants all of them, so that a gate that was struck out of build.yaml takes
 * nothing with it.
 */
export const looseItemsDue = (job: JobState, gate: string, around: Surroundings): readonly GateItem[] =>
  job.loose
    .filter(
      (item) => isOpenItem(item) && (gate === around.gates.at(-1) || isDueBefore(around.gates, dueGate(item), gate)),
    )
    .map((item) => looseOf(job, item, around));

const withoutException = ({ because: _because, by: _by, ...item }: ExceptedItem): GateItem => item;

/**
 * The gate sheet for a step that passes the gate, without what the step itself closes. In a strict procedure nothing is excepted.
 */
export const sheetFor = (job: JobState, step: Step, gate: string, around: Surroundings): GateSheet => {
  const sheet = around.gateSheet(gate);
  const isOfSide = (side: string | undefined): boolean =>
    side === undefined || job.side === undefined || side === job.side;
  const closed = around.looseItems.filter(
    ({ item, side, skipped }) => !skipped && step.closes.includes(item) && isOfSide(side),
  );
  const own = new Set(closed.map(looseKey));
  const isOthers = ({ key }: GateItem): boolean => !own.has(key);
  const open = sheet.open.filter(isOthers);
  const excepted = sheet.excepted.filter(isOthers);
  return job.plan.strict
    ? { gate, open: [...open, ...excepted.map(withoutException)], excepted: [] }
    : { gate, open, excepted };
};
