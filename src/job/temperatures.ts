import type Fraction from 'fraction.js';
import { memoised } from '../fault/memo.ts';
import { parseQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { decimalText } from '../quantity/rational.ts';
import { degreesOf, kelvinOf, type Scale } from '../quantity/ticks.ts';
import { findUnit, type Unit } from '../quantity/units.ts';
import type { Surroundings, LogMark, TemperatureMark } from './surroundings.ts';
import type { LogRows } from './logger/log.ts';
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
  readonly run?: number;
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
    ...(mark.run === undefined ? {} : { run: mark.run }),
    ...(lowest && mark.lowest !== undefined ? { lowest: { base: lowest.base, text: mark.lowest } } : {}),
  };
};

const warmthsOf = memoised((marks: readonly TemperatureMark[]): readonly Warmth[] =>
  marks.flatMap((mark) => warmthOf(mark) ?? []),
);

/** What was typed for a place, each mark by itself, by time. */
export const typedAt = (around: Surroundings, place: string): readonly Warmth[] =>
  warmthsOf(around.temperatures(place));

/** The imports that count. */
export const logsAt = (around: Surroundings, place: string): readonly LogMark[] =>
  around.logs(place).filter((mark) => mark.struck === undefined);

/** The last of rising instants that is not after one, or -1. */
export const lastUpTo = (instants: Float64Array, ms: number): number => {
  let [low, high] = [0, instants.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((instants[middle] ?? 0) <= ms) low = middle + 1;
    else high = middle;
  }
  return low - 1;
};

/** A temperature in the words of a scale: `18.5 °C`. */
export const degreesText = (ticks: number, scale: Scale): string =>
  `${decimalText(degreesOf(ticks, scale), 1)} ${scale}`;

const logged = (mark: LogMark, { ms, ticks, scale }: LogRows, row: number): Warmth => ({
  entry: mark.entry,
  ms: ms[row] ?? 0,
  base: kelvinOf(ticks[row] ?? 0),
  text: degreesText(ticks[row] ?? 0, scale),
  surface: false,
  doubtful: false,
});

const later = (one: Warmth | undefined, other: Warmth | undefined): Warmth | undefined =>
  one && (!other || one.ms >= other.ms) ? one : other;

/** The last row of any import up to an instant. */
const lastLogged = (around: Surroundings, place: string, ms: number): Warmth | undefined =>
  logsAt(around, place).reduce<Warmth | undefined>((last, mark) => {
    const rows = mark.rows();
    const row = lastUpTo(rows.ms, ms);
    return row < 0 ? last : later(last, logged(mark, rows, row));
  }, undefined);

/** The air of a place at an instant: what was last typed or logged of it. */
export const airAt = (around: Surroundings, place: string, ms: number): Warmth | undefined =>
  later(
    typedAt(around, place).findLast((mark) => mark.ms <= ms && !mark.surface),
    lastLogged(around, place, ms),
  );

const hotter = (one: Warmth | undefined, other: Warmth | undefined): Warmth | undefined =>
  one && (!other || one.base.compare(other.base) >= 0) ? one : other;

const hottestLogged = (mark: LogMark, from: number, to: number): Warmth | undefined => {
  const rows = mark.rows();
  const end = lastUpTo(rows.ms, to);
  let hot = -1;
  for (let row = lastUpTo(rows.ms, from - 1) + 1; row <= end; row += 1)
    if (hot < 0 || (rows.ticks[row] ?? 0) > (rows.ticks[hot] ?? 0)) hot = row;
  return hot < 0 ? undefined : logged(mark, rows, hot);
};

/** A batch's own time and place, for what was warm around it. */
export interface Mixed {
  readonly place: string;
  /** When it was mixed, ms. */
  readonly at: number;
  /** The entry of the mix: what was typed with it counts from then on, but is not the temperature before it. */
  readonly own: string;
  /** Typed with a mix that is not entered yet. */
  readonly typed?: string;
}

/** The hottest temperature known of a batch's place, from the last one before the mix up to an instant. */
export const hottestSince = (around: Surroundings, mixed: Mixed, until: number): Warmth | undefined => {
  const { place, at, own } = mixed;
  const marks = typedAt(around, place);
  const before =
    later(
      marks.findLast((mark) => mark.ms <= at && mark.entry !== own),
      lastLogged(around, place, at),
    )?.ms ?? at;
  const to = Math.max(until, at);
  const now = mixed.typed === undefined ? undefined : temperatureOf(mixed.typed);
  const withIt =
    now && mixed.typed !== undefined
      ? { entry: own, ms: at, base: now.base, text: mixed.typed, surface: false, doubtful: false }
      : undefined;
  return [
    ...marks.filter((mark) => mark.ms >= before && mark.ms <= to),
    withIt,
    ...logsAt(around, place).map((mark) => hottestLogged(mark, before, to)),
  ].reduce<Warmth | undefined>((hot, mark) => hotter(hot, mark), undefined);
};

/** Where a step is; '' is the build's one unnamed place. */
export const placeOfStep = (job: JobState, step: string): string =>
  job.plan.steps.find((one) => one.step === step)?.place ?? '';
