import { own } from '../fault/own.ts';
import { msOf } from '../job/cure.ts';
import { happened, type Entry, type EntryOf } from '../job/entry.ts';
import type { TemperatureMark } from '../job/surroundings.ts';
import { currentStep } from '../job/where.ts';
import { withCorrectedMark } from './acts/correct-temperature.ts';
import { jobOf, withValue, type BuildState } from './state.ts';

/*
 * Temperatures of places, typed one by one or imported from a logger's file. They belong to the build, whatever job sends them.
 */

/** Adds a temperature. Marks are kept in order of time; at one instant, in the order of entry. */
export const withMark = (state: BuildState, place: string, mark: TemperatureMark): BuildState => {
  const marks = own(state.temperatures, place) ?? [];
  const index = marks.findLastIndex((one) => one.ms <= mark.ms) + 1;
  return { ...state, temperatures: withValue(state.temperatures, place, marks.toSpliced(index, 0, mark)) };
};

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

/** A corrected mix or shop entry also corrects the temperatures that were typed with it: they are what the job has of that entry now. */
const withCorrectedTyped = (state: BuildState, entry: EntryOf<'correct'>): BuildState => {
  const { entry: target } = entry.data;
  const job = jobOf(state, entry.job);
  const typed: { readonly temperature?: string; readonly surface?: string } | undefined =
    job?.shop.find((one) => one.entry === target) ?? job?.batches.find((one) => one.entry === target);
  const { temperature, surface } = typed ?? {};
  const cooled = temperature === undefined ? state : withCorrectedMark(state, target, temperature, false);
  return surface === undefined ? cooled : withCorrectedMark(cooled, target, surface, true);
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
