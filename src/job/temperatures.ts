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

/** A typed temperature, as a quantity and in kelvin. A bare number is in °C; `undefined` where the text is not a temperature. */
export const temperatureOf = (text: string): { readonly quantity: Quantity; readonly base: Fraction } | undefined => {
  const parsed = parseQuantity(text, { unit: celsius() });
  return parsed.ok && parsed.value.unit.dimension === 'temperature'
    ? { quantity: parsed.value, base: toBase(parsed.value) }
    : undefined;
};

/** What is known of the temperatures of the build's places. */
export type Thermometers = Pick<Surroundings, 'temperatures' | 'logs'>;

/** The temperature of a place at one instant. */
export interface KnownTemperature {
  readonly entry: string;
  /** When it was read, ms since 1970. */
  readonly ms: number;
  /** In kelvin. */
  readonly base: Fraction;
  /** As typed; for a logger, in the logger's own scale. */
  readonly text: string;
  /** The lowest temperature since an instant (ms since 1970). */
  readonly lowest?: { readonly base: Fraction; readonly text: string; readonly since: number };
  readonly surface: boolean;
  readonly doubtful: boolean;
  /** How often the clock had been set right before this was written; absent where the time was given. */
  readonly run?: number;
}

/**
 * A mark that cannot be read gives `undefined`. Remembered for each mark, because a new list has the same marks as the old one and one
 * more.
 */
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
    ...(lowest && mark.lowest !== undefined
      ? { lowest: { base: lowest.base, text: mark.lowest, since: mark.since ?? mark.ms } }
      : {}),
  };
});

/** The marks that can be read, in order of time. */
export const marksRead = memoised((marks: readonly TemperatureMark[]): readonly KnownTemperature[] =>
  marks.flatMap((mark) => markRead(mark) ?? []),
);

const typedAt = (around: Thermometers, place: string): readonly KnownTemperature[] =>
  marksRead(around.temperatures(place));

/** The imports that count: those that were not struck. */
export const unstruck = (logs: readonly LogMark[]): readonly LogMark[] =>
  logs.filter((mark) => mark.struck === undefined);

const logsAt = (around: Thermometers, place: string): readonly LogMark[] => unstruck(around.logs(place));

/** Index of the last instant that is not after `ms`, or -1. Both are in ms since 1970, and `instants` is rising. */
export const lastUpTo = (instants: Float64Array, ms: number): number => {
  let [low, high] = [0, instants.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((instants[middle] ?? 0) <= ms) low = middle + 1;
    else high = middle;
  }
  return low - 1;
};

/** A temperature in words: `18.5 °C`. @param ticks ninths of a nanokelvin. */
export const degreesText = (ticks: number, scale: Scale): string =>
  `${decimalText(degreesOf(ticks, scale), 1)} ${scale}`;

/** One row of a log as a known temperature. @param row index from 0. */
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

/** The last row of any import up to an instant. @param ms since 1970. */
const lastLogged = (around: Thermometers, place: string, ms: number): KnownTemperature | undefined =>
  logsAt(around, place).reduce<KnownTemperature | undefined>((last, mark) => {
    const rows = mark.rows();
    const row = lastUpTo(rows.ms, ms);
    return row < 0 ? last : later(last, logged(mark, rows, row));
  }, undefined);

/** The last temperature of a place before an instant, of the air or of the work, typed or logged. @param ms since 1970. */
export const lastBefore = (around: Thermometers, place: string, ms: number): KnownTemperature | undefined =>
  later(
    typedAt(around, place).findLast((mark) => mark.ms < ms),
    lastLogged(around, place, ms - 1),
  );

/** The temperature of the air of a place: the last one typed or logged up to an instant. @param ms since 1970. */
export const airAt = (around: Surroundings, place: string, ms: number): KnownTemperature | undefined =>
  later(
    typedAt(around, place).findLast((mark) => mark.ms <= ms && !mark.surface),
    lastLogged(around, place, ms),
  );

const hotter = (
  one: KnownTemperature | undefined,
  other: KnownTemperature | undefined,
): KnownTemperature | undefined => (one && (!other || one.base.compare(other.base) >= 0) ? one : other);

/** The hottest row from `from` to `to`, both in ms since 1970. */
const hottestLogged = (mark: LogMark, from: number, to: number): KnownTemperature | undefined => {
  const rows = mark.rows();
  const end = lastUpTo(rows.ms, to);
  let hot = -1;
  for (let row = lastUpTo(rows.ms, from - 1) + 1; row <= end; row += 1)
    if (hot < 0 || (rows.ticks[row] ?? 0) > (rows.ticks[hot] ?? 0)) hot = row;
  return hot < 0 ? undefined : logged(mark, rows, hot);
};

/** When and where a batch was mixed, for finding how warm it has been since. */
export interface Mixed {
  readonly place: string;
  /** When it was mixed, ms since 1970. */
  readonly at: number;
  /** The entry of the mix. A temperature typed with the mix counts from then on; it is not the last one before the mix. */
  readonly own: string;
  /** The temperature typed with a mix that is still being decided. */
  readonly typed?: string;
  /** How old the last temperature before the mix may be to count, ms. */
  readonly notOlder: number;
}

/**
 * The hottest temperature known for a batch's place, from the last one before the mix up to an instant. One that was too old at the mix is
 * not known.
 * @param until ms since 1970.
 */
export const hottestSince = (around: Surroundings, mixed: Mixed, until: number): KnownTemperature | undefined => {
  const { place, at, own, notOlder } = mixed;
  const marks = typedAt(around, place);
  const last = later(
    marks.findLast((mark) => mark.ms <= at && mark.entry !== own),
    lastLogged(around, place, at),
  );
  const before = last && last.ms >= at - notOlder ? last.ms : at;
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

/** The place of a step; '' is the build's one unnamed place. */
export const placeOfStep = (job: JobState, step: string): string =>
  job.plan.steps.find((one) => one.step === step)?.place ?? '';
