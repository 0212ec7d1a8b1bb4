import type Fraction from 'fraction.js';
import { memoised, once } from '../fault/memo.ts';
import { parseQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { decimalText } from '../quantity/rational.ts';
import { degreesOf, kelvinOf, type Scale } from '../quantity/ticks.ts';
import { unitNamed } from '../quantity/units.ts';
import type { Surroundings, LogMark, TemperatureMark } from './surroundings.ts';
import type { LogRows } from './logger/log.ts';
import type { JobState } from './state.ts';

const celsius = once(() => unitNamed('°C'));

/** A typed temperature, and the same in kelvin. A bare number is in °C; `undefined` for what is not a temperature. */
export const temperatureOf = (text: string): { readonly quantity: Quantity; readonly base: Fraction } | undefined => {
  const parsed = parseQuantity(text, { unit: celsius() });
  return parsed.ok && parsed.value.unit.dimension === 'temperature'
    ? { quantity: parsed.value, base: toBase(parsed.value) }
    : undefined;
};

/** The temperature of a place at one instant. */
export interface KnownTemperature {
  readonly entry: string;
  readonly ms: number;
  /** In kelvin. */
  readonly base: Fraction;
  /** As it was typed; of a logger, in its own scale. */
  readonly text: string;
  readonly lowest?: { readonly base: Fraction; readonly text: string };
  readonly surface: boolean;
  readonly doubtful: boolean;
  readonly run?: number;
}

/** A mark that cannot be read gives nothing. A new list keeps the marks of the old one, so that each is read once. */
const markRead = memoised((mark: TemperatureMark): KnownTemperature | undefined => {
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
});

/** Each mark by itself, by time. */
export const marksRead = memoised((marks: readonly TemperatureMark[]): readonly KnownTemperature[] =>
  marks.flatMap((mark) => markRead(mark) ?? []),
);

const typedAt = (around: Surroundings, place: string): readonly KnownTemperature[] =>
  marksRead(around.temperatures(place));

/** The imports that count. */
export const unstruck = (logs: readonly LogMark[]): readonly LogMark[] =>
  logs.filter((mark) => mark.struck === undefined);

const logsAt = (around: Surroundings, place: string): readonly LogMark[] => unstruck(around.logs(place));

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

const logged = (mark: LogMark, { ms, ticks, scale }: LogRows, row: number): KnownTemperature => ({
  entry: mark.entry,
  ms: ms[row] ?? 0,
  base: kelvinOf(ticks[row] ?? 0),
  text: degreesText(ticks[row] ?? 0, scale),
  surface: false,
  doubtful: false,
});

const later = (one: KnownTemperature | undefined, other: KnownTemperature | undefined): KnownTemperature | undefined =>
  one && (!other || one.ms >= other.ms) ? one : other;

/** The last row of any import up to an instant. */
const lastLogged = (around: Surroundings, place: string, ms: number): KnownTemperature | undefined =>
  logsAt(around, place).reduce<KnownTemperature | undefined>((last, mark) => {
    const rows = mark.rows();
    const row = lastUpTo(rows.ms, ms);
    return row < 0 ? last : later(last, logged(mark, rows, row));
  }, undefined);

/** The air of a place at an instant: what was last typed or logged of it. */
export const airAt = (around: Surroundings, place: string, ms: number): KnownTemperature | undefined =>
  later(
    typedAt(around, place).findLast((mark) => mark.ms <= ms && !mark.surface),
    lastLogged(around, place, ms),
  );

const hotter = (
  one: KnownTemperature | undefined,
  other: KnownTemperature | undefined,
): KnownTemperature | undefined => (one && (!other || one.base.compare(other.base) >= 0) ? one : other);

const hottestLogged = (mark: LogMark, from: number, to: number): KnownTemperature | undefined => {
  const rows = mark.rows();
  const end = lastUpTo(rows.ms, to);
  let hot = -1;
  for (let row = lastUpTo(rows.ms, from - 1) + 1; row <= end; row += 1)
    if (hot < 0 || (rows.ticks[row] ?? 0) > (rows.ticks[hot] ?? 0)) hot = row;
  return hot < 0 ? undefined : logged(mark, rows, hot);
};

/** When and where a batch was mixed: what is needed to know how warm it has been since. */
export interface Mixed {
  readonly place: string;
  /** When it was mixed, ms. */
  readonly at: number;
  /** The entry of the mix. A temperature typed with the mix counts from then on, and is not the last one before it. */
  readonly own: string;
  /** The temperature typed with a mix that is still being decided on. */
  readonly typed?: string;
}

/** The hottest temperature known of a batch's place, from the last one before the mix up to an instant. */
export const hottestSince = (around: Surroundings, mixed: Mixed, until: number): KnownTemperature | undefined => {
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
  ].reduce<KnownTemperature | undefined>((hot, mark) => hotter(hot, mark), undefined);
};

/** Where a step is; '' is the build's one unnamed place. */
export const placeOfStep = (job: JobState, step: string): string =>
  job.plan.steps.find((one) => one.step === step)?.place ?? '';
