import type Fraction from 'fraction.js';
import { parseQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { findUnit, type Unit } from '../quantity/units.ts';
import type { Around, TemperatureMark } from './around.ts';
import type { JobState } from './state.ts';

let celsius: Unit | undefined;

const read = new Map<string, { readonly quantity: Quantity; readonly base: Fraction }>();

/** A typed temperature, read once: logs repeat the same few texts. A bare number is in °C. */
export const temperatureOf = (text: string): { readonly quantity: Quantity; readonly base: Fraction } | undefined => {
  const known = read.get(text);
  if (known) return known;
  celsius ??= findUnit('°C');
  const parsed = parseQuantity(text, celsius ? { unit: celsius } : {});
  if (!parsed.ok || parsed.value.unit.dimension !== 'temperature') return undefined;
  const value = { quantity: parsed.value, base: toBase(parsed.value) };
  if (read.size < 10_000) read.set(text, value);
  return value;
};

/** What is known of a place, by time; marks that cannot be read are left out. */
export interface Warmth {
  readonly entry: string;
  readonly ms: number;
  readonly base: Fraction;
  readonly text: string;
  readonly lowest?: { readonly base: Fraction; readonly text: string };
  readonly surface: boolean;
  readonly doubtful: boolean;
}

const warmthOf = (mark: TemperatureMark): Warmth | undefined => {
  const value = temperatureOf(mark.temperature);
  if (!value) return undefined;
  const lowest = mark.lowest === undefined ? undefined : temperatureOf(mark.lowest);
  return {
    entry: mark.entry,
    ms: mark.ms,
    base: value.base,
    text: mark.temperature,
    surface: mark.surface,
    doubtful: mark.doubtful,
    ...(lowest && mark.lowest !== undefined ? { lowest: { base: lowest.base, text: mark.lowest } } : {}),
  };
};

/** All that is known of a place, each mark by itself. */
export const knownAt = (around: Around, place: string): readonly Warmth[] =>
  around.temperatures(place).flatMap((mark) => warmthOf(mark) ?? []);

const colder = (one: Warmth, other: Warmth): Warmth => {
  const lowest = [one.lowest, other.lowest]
    .filter((low) => low !== undefined)
    .reduce<Warmth['lowest']>((least, low) => (!least || low.base.compare(least.base) < 0 ? low : least), undefined);
  const cold = one.base.compare(other.base) <= 0 ? one : other;
  const under = lowest && lowest.base.compare(cold.base) > 0 ? { base: cold.base, text: cold.text } : lowest;
  return { ...cold, doubtful: one.doubtful || other.doubtful, ...(under ? { lowest: under } : {}) };
};

/** A cure's readings: two at one instant become the colder, whatever the order in which they were entered. */
export const readingsOf = (marks: readonly Warmth[]): readonly Warmth[] => {
  const merged: Warmth[] = [];
  for (const mark of marks) {
    const last = merged.at(-1);
    if (last?.ms === mark.ms) merged[merged.length - 1] = colder(last, mark);
    else merged.push(mark);
  }
  return merged;
};

/** Where a step is; '' is the build's one unnamed place. */
export const placeOfStep = (job: JobState, step: string): string =>
  job.plan.steps.find((one) => one.step === step)?.place ?? '';
