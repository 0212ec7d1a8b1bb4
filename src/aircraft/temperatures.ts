import { msOf } from '../job/cure.ts';
import { happened, type Entry, type EntryOf } from '../job/entry.ts';
import type { TemperatureMark } from '../job/surroundings.ts';
import { currentStep } from '../job/where.ts';
import { withMark, withoutMarks } from './marks.ts';
import { jobOf, type BuildState } from './state.ts';

/*
 * Temperatures of places, typed one by one or imported from a logger's file. They belong to the build, whatever job sends them.
 */

interface TypedTemperature {
  /** As typed, with its unit. */
  readonly temperature: string;
  readonly lowest?: string | undefined;
  /** From when `lowest` counts. */
  readonly since?: string | undefined;
  /** True for the temperature of the work itself, false for that of the air. */
  readonly isSurface: boolean;
}

export const markOf = (
  state: BuildState,
  entry: Entry,
  { temperature, lowest, since, isSurface }: TypedTemperature,
): TemperatureMark => ({
  entry: entry.id,
  at: entry.at,
  by: entry.by,
  ms: msOf(happened(entry)),
  temperature,
  surface: isSurface,
  doubtful: entry.doubtful === true,
  ...(entry.when === undefined ? { run: state.clockRun } : {}),
  ...(lowest === undefined ? {} : { lowest }),
  ...(since === undefined ? {} : { since: msOf(since) }),
});

const withTyped = (
  state: BuildState,
  entry: EntryOf<'mix' | 'shop'>,
  place: string,
  { temperature, surface }: { readonly temperature?: string; readonly surface?: string },
): BuildState => {
  const warmed =
    temperature === undefined
      ? state
      : withMark(state, place, markOf(state, entry as Entry, { temperature, isSurface: false }));
  return surface === undefined
    ? warmed
    : withMark(warmed, place, markOf(state, entry as Entry, { temperature: surface, isSurface: true }));
};

/**
 * A corrected mix or shop entry also corrects the temperatures that were typed with it: they are what the job has of that entry now. They
 * stay where they were taken, and at their time unless that was corrected.
 */
const withCorrectedTyped = (state: BuildState, entry: EntryOf<'correct'>): BuildState => {
  const { entry: target } = entry.data;
  const job = jobOf(state, entry.job);
  const batch = job?.batches.find((one) => one.entry === target);
  const typed = job?.shop.find((one) => one.entry === target) ?? batch;
  if (!job || !typed) return state;
  const all = Object.entries(state.temperatures).flatMap(([place, marks]) => marks.map((mark) => ({ place, mark })));
  const known = all.find(({ mark }) => mark.entry === target);
  const at = batch ? job.plan.steps.find(({ step }) => step === batch.step) : currentStep(job);
  const isMoved = known !== undefined && known.mark.ms !== msOf(typed.when);
  const { run } = known?.mark ?? {};
  const base = {
    entry: target,
    at: typed.at,
    by: typed.by,
    ms: msOf(typed.when),
    doubtful: typed.doubtful === true,
    ...(run === undefined || isMoved ? {} : { run }),
  };
  const put = (before: BuildState, temperature: string | undefined, surface: boolean): BuildState =>
    temperature === undefined
      ? before
      : withMark(before, known?.place ?? at?.place ?? '', { ...base, temperature, surface });
  const { temperature, surface }: { readonly temperature?: string; readonly surface?: string } = typed;
  return put(put(withoutMarks(state, target), temperature, false), surface, true);
};

/** Temperatures typed with a mix, or with the shop's conditions, count as temperatures of the open step's place. */
export const withTypedTemperatures = (state: BuildState, entry: Entry): BuildState => {
  if (entry.type === 'correct') return withCorrectedTyped(state, entry);
  if (entry.type !== 'mix' && entry.type !== 'shop') return state;
  const job = jobOf(state, entry.job);
  if (entry.type === 'shop') return withTyped(state, entry, (job && currentStep(job))?.place ?? '', entry.data);
  const { step: id, temperature } = entry.data;
  const step = job?.plan.steps.find((one) => one.step === id);
  return withTyped(state, entry, step?.place ?? '', temperature === undefined ? {} : { temperature });
};
