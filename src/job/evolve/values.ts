import type { Draft } from 'immer';
import { readingOf } from '../../procedure/plan.ts';
import { calculatedOf, listOf, mapOf, textOf, wholeOf, type CalculatedBy, type Entry } from '../entry.ts';
import type { Batch, FastenerAct, JobState, Struck, Try } from '../state.ts';
import { drawer, perform, reopenJob, stampOf, touch, voidReleases, type JobDraft } from './draft.ts';
import { own } from '../../fault/own.ts';

const given = <T>(key: string, value: T | undefined): Record<string, T> =>
  value === undefined ? {} : { [key]: value };

export const evolveRead = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const id = textOf(entry.data, 'reading') ?? '';
  const found = readingOf(job.plan, id);
  const tries = drawer(draft.tries, id, () => []);
  const position = textOf(entry.data, 'position');
  const n = wholeOf(entry.data, 'n') ?? 1;
  const before = tries.filter((taken) => taken.position === position && taken.n === n).length;
  const uncertainty = mapOf(entry.data, 'uncertainty');
  const taken: Try = {
    ...stampOf(entry),
    number: before + 1,
    n,
    value: textOf(entry.data, 'value') ?? '',
    struck: [],
    ...given('position', position),
    ...given('calculated', calculatedOf(entry.data)),
    ...given('reason', textOf(entry.data, 'reason')),
    ...given('tool', textOf(entry.data, 'tool')),
    ...(Object.keys(uncertainty).length > 0 ? { uncertainty } : {}),
  };
  tries.push(taken as Draft<Try>);
  if (!found) return;
  perform(draft, found.step.step, entry);
  touch(draft, found.step.step, entry);
};

export const evolveTighten = (draft: JobDraft, entry: Entry): void => {
  const step = textOf(entry.data, 'step') ?? '';
  const act: FastenerAct = {
    ...stampOf(entry),
    fastener: wholeOf(entry.data, 'fastener') ?? 0,
    mark: entry.data['mark'] === true,
    struck: [],
    ...given('torque', textOf(entry.data, 'torque')),
    ...given('fingerTight', textOf(entry.data, 'finger-tight')),
    ...given('past', textOf(entry.data, 'past')),
    ...given('drag', textOf(entry.data, 'drag')),
    ...given('tool', textOf(entry.data, 'tool')),
  };
  drawer(draft.fasteners, step, () => []).push(act as Draft<FastenerAct>);
  perform(draft, step, entry);
  touch(draft, step, entry);
};

/** The right value takes the place of the struck one, which stays with its time and person. */
const strike = (
  entry: Entry,
  old: { readonly value: string; readonly calculated?: CalculatedBy | undefined } & Pick<
    Try,
    'at' | 'when' | 'by' | 'entry'
  >,
): Struck => ({
  entry: old.entry,
  at: old.at,
  when: old.when,
  by: old.by,
  value: old.value,
  ...given('calculated', old.calculated),
  reason: textOf(entry.data, 'reason') ?? '',
  struckBy: entry.by,
  struckAt: entry.at,
});

const strikeTry = (draft: JobDraft, target: string, entry: Entry): string | undefined => {
  for (const [reading, tries] of Object.entries(draft.tries)) {
    const taken = tries.find((one) => one.entry === target);
    if (!taken) continue;
    taken.struck.push(strike(entry, taken) as Draft<Struck>);
    taken.value = textOf(entry.data, 'value') ?? '';
    // The right value is a typed one, whatever the struck one was.
    delete taken.calculated;
    return reading;
  }
  return undefined;
};

const fastenerFields = { torque: 'torque', 'finger-tight': 'fingerTight', past: 'past', drag: 'drag' } as const;

/** What a correction of a fastener or batch changes: one value, or several by name. */
export const correctedFields = (entry: Pick<Entry, 'data'>, only: string): Readonly<Record<string, string>> => {
  const value = textOf(entry.data, 'value');
  return value === undefined ? mapOf(entry.data, 'value') : { [only]: value };
};

const shownFields = (fields: Readonly<Record<string, string | undefined>>): string =>
  Object.entries(fields)
    .flatMap(([key, value]) => (value === undefined ? [] : [`${key} ${value}`]))
    .join(', ');

/** The one field that an act gave, which a bare correction means. */
export const onlyField = (act: Pick<FastenerAct, 'torque' | 'fingerTight' | 'past' | 'drag'>): string =>
  act.torque !== undefined
    ? 'torque'
    : act.past !== undefined
      ? 'past'
      : act.fingerTight !== undefined
        ? 'finger-tight'
        : 'drag';

const strikeFastener = (draft: JobDraft, target: string, entry: Entry): string | undefined => {
  for (const [step, acts] of Object.entries(draft.fasteners)) {
    const act = acts.find((one) => one.entry === target);
    if (!act) continue;
    const old = shownFields({ torque: act.torque, 'finger-tight': act.fingerTight, past: act.past, drag: act.drag });
    act.struck.push(strike(entry, { ...act, value: old }) as Draft<Struck>);
    for (const [key, value] of Object.entries(correctedFields(entry, onlyField(act))))
      if (Object.hasOwn(fastenerFields, key)) act[fastenerFields[key as keyof typeof fastenerFields]] = value;
    return step;
  }
  return undefined;
};

const strikeBatch = (draft: JobDraft, target: string, entry: Entry): string | undefined => {
  const batch = draft.batches.find((one) => one.entry === target);
  if (!batch) return undefined;
  batch.struck.push(strike(entry, { ...batch, value: shownFields(batch.weights) }) as Draft<Struck>);
  batch.weights = { ...batch.weights, ...correctedFields(entry, Object.keys(batch.weights)[0] ?? '') };
  batch.inRatio = entry.data['in-ratio'] === true;
  return batch.step;
};

const strikeShop = (draft: JobDraft, target: string, entry: Entry): boolean => {
  const shop = draft.shop.find((one) => one.entry === target);
  if (shop) Object.assign(shop, correctedFields(entry, 'temperature'));
  return shop !== undefined;
};

export const evolveCorrect = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const target = textOf(entry.data, 'entry') ?? '';
  const reading = strikeTry(draft, target, entry);
  const step =
    reading === undefined
      ? (strikeFastener(draft, target, entry) ?? strikeBatch(draft, target, entry))
      : readingOf(job.plan, reading)?.step.step;
  if (step === undefined) {
    strikeShop(draft, target, entry);
    return;
  }
  const state = own(draft.steps, step);
  if (state && !state.performers.includes(entry.by)) state.performers.push(entry.by);
  touch(draft, step, entry);
  voidReleases(draft, job.plan, [step], entry);
};

export const evolveMix = (draft: JobDraft, entry: Entry, job: JobState): void => {
  const step = textOf(entry.data, 'step') ?? '';
  const mix = job.plan.steps.find((one) => one.step === step)?.mix;
  const id = textOf(entry.data, 'batch') ?? '';
  const names = listOf(entry.data, 'with');
  const inRatio = entry.data['in-ratio'] === true;
  const thrown = entry.data['discarded'] === true || !inRatio;
  const named = textOf(entry.data, 'sample');
  const batch: Batch = {
    ...stampOf(entry),
    batch: id,
    step,
    weights: mapOf(entry.data, 'weights'),
    lots: mapOf(entry.data, 'lots'),
    inRatio,
    with: names,
    struck: [],
    ...given('temperature', textOf(entry.data, 'temperature')),
    ...(thrown ? { discarded: { ...stampOf(entry), because: inRatio ? 'not used' : 'outside its ratio' } } : {}),
    ...(mix?.sample && (!thrown || named !== undefined) ? { sample: { id: named ?? id } } : {}),
  };
  draft.batches.push(batch as Draft<Batch>);
  perform(draft, step, entry, names);
  touch(draft, step, entry);
};

export const evolveDiscard = (draft: JobDraft, entry: Entry, job: JobState, used: (mix: string) => boolean): void => {
  const batch = draft.batches.find((one) => one.batch === textOf(entry.data, 'batch'));
  if (!batch) return;
  const wasUsed = used(batch.step);
  touch(draft, batch.step, entry);
  if (wasUsed) return;
  batch.discarded ??= { ...stampOf(entry), because: textOf(entry.data, 'because') ?? '' };
  const left = draft.batches.some(
    (one) => one.step === batch.step && one.inRatio && one.discarded === undefined && one.superseded === undefined,
  );
  const state = own(draft.steps, batch.step);
  if (left || !state || state.state !== 'done') return;
  state.state = 'todo';
  delete state.finished;
  state.reopened.push({ ...stampOf(entry), because: 'the last good batch was thrown away' });
  voidReleases(draft, job.plan, [batch.step], entry);
};

export const evolveBreak = (draft: JobDraft, entry: Entry, job: JobState, current: string | undefined): void => {
  const id = textOf(entry.data, 'sample');
  const batch = draft.batches.findLast((one) => one.sample !== undefined && (one.sample.id === id || one.batch === id));
  if (!batch?.sample) return;
  const result = textOf(entry.data, 'result') === 'held' ? 'held' : 'failed';
  batch.sample.broken = { ...stampOf(entry), result, ...given('remark', textOf(entry.data, 'remark')) };
  const step = job.plan.steps.find((one) => one.step === current)?.break ? (current ?? batch.step) : batch.step;
  perform(draft, step, entry);
  touch(draft, step, entry);
  if (result === 'failed') reopenJob(draft, entry);
};
