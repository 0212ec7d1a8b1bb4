import { memoised } from '../fault/memo.ts';
import { ticksUnder, type Scale } from '../quantity/ticks.ts';
import type { Surroundings, LogMark, TemperatureMark } from './surroundings.ts';
import { degreesText, marksRead, unstruck, type KnownTemperature } from './temperatures.ts';

/**
 * Everything known about the temperature of a place, in order of time, as columns of numbers. A cure with a hundred thousand readings is
 * then decided in one fast pass. Each instant has one row; of two temperatures at one instant, the colder counts.
 */
export interface Column {
  /** Rising, in ms since 1970. */
  readonly ms: Float64Array;
  /** The temperature, in ninths of a nanokelvin (quantity/ticks.ts). */
  readonly ticks: Float64Array;
  /** The lowest temperature since the row before, in the same ticks, where a max-min thermometer kept it; else NaN. */
  readonly lowest: Float64Array;
  /** Bit 0: the time is in doubt. Bit 1: a person typed the temperature. From bit 2: the logger's scale, as an index of `scales`. */
  readonly flags: Uint8Array;
  /** How often the clock had been set right when the row was stamped, counted from 1; 0 where a logger or a person gave the time. */
  readonly runs: Uint16Array;
  /** Temperatures as typed, by their ticks. */
  readonly words: ReadonlyMap<number, string>;
}

const doubtful = 1;
const typed = 2;
const scales: readonly Scale[] = ['°C', '°F', 'K'];

/**
 * True where the time since the row before is unknown: one of the two times is in doubt, or the clock was set right between them.
 * @param row index from 0.
 */
export const isDoubtedBefore = ({ flags, runs }: Column, row: number): boolean => {
  if ((((flags[row - 1] ?? 0) | (flags[row] ?? 0)) & doubtful) !== 0) return true;
  const [one, other] = [runs[row - 1] ?? 0, runs[row] ?? 0];
  return one !== other && one !== 0 && other !== 0;
};

/** True where a person typed the temperature of a row (index from 0), false where a logger measured it. */
export const isTyped = ({ flags }: Column, row: number): boolean => ((flags[row] ?? 0) & typed) !== 0;

/**
 * A temperature of this column in words: as typed, else in the logger's scale.
 * @param ticks ninths of a nanokelvin.
 * @param row index from 0.
 */
export const temperatureWords = ({ words, flags }: Column, ticks: number, row: number): string =>
  words.get(ticks) ?? degreesText(ticks, scales[(flags[row] ?? 0) >> 2] ?? '°C');

/**
 * Collects rows, which must be given in order of time. A second row of an instant only makes the first one colder.
 * @param most the largest number of rows.
 */
const writer = (most: number) => {
  const [ms, ticks, lowest] = [new Float64Array(most), new Float64Array(most), new Float64Array(most)];
  const [flags, runs] = [new Uint8Array(most), new Uint16Array(most)];
  let count = 0;
  /** Adds a second temperature to the row of the same instant; temperatures in ticks. */
  const join = (row: number, warm: number, low: number, flag: number, run: number): void => {
    const before = ticks[row] ?? 0;
    const kept = flags[row] ?? 0;
    const ran = runs[row] ?? 0;
    const apart = ran !== 0 && run !== 0 && ran !== run ? doubtful : 0;
    if (warm < before) ticks[row] = warm;
    // The words follow the colder of the two temperatures; a doubt about either of them stays.
    flags[row] = (warm < before ? flag & ~3 : kept & ~3) | ((kept | flag | apart) & 3);
    runs[row] = Math.max(ran, run);
    const least = Number.isNaN(low) ? (lowest[row] ?? NaN) : Math.min(low, lowest[row] || Infinity);
    lowest[row] = Math.min(least, ticks[row] ?? 0);
  };
  return {
    /** Adds a row; `at` in ms since 1970, `warm` (the temperature) and `low` (lowest since the row before, or NaN) in ticks. */
    add: (at: number, warm: number, low: number, flag: number, run: number): void => {
      if (count > 0 && ms[count - 1] === at) return join(count - 1, warm, low, flag, run);
      ms[count] = at;
      ticks[count] = warm;
      lowest[count] = low;
      flags[count] = flag;
      runs[count] = run;
      count += 1;
    },
    columns: () => ({
      ms: ms.subarray(0, count),
      ticks: ticks.subarray(0, count),
      lowest: lowest.subarray(0, count),
      flags: flags.subarray(0, count),
      runs: runs.subarray(0, count),
    }),
  };
};

type Columns = Omit<Column, 'words'>;

const typedColumns = (marks: readonly KnownTemperature[]): Columns => {
  const { add, columns } = writer(marks.length);
  for (const mark of marks)
    add(
      mark.ms,
      ticksUnder(mark.base),
      mark.lowest ? ticksUnder(mark.lowest.base) : NaN,
      typed | (mark.doubtful ? doubtful : 0),
      mark.run === undefined ? 0 : mark.run + 1,
    );
  return columns();
};

const loggedColumns = (log: LogMark): Columns => {
  const { ms, ticks, scale } = log.rows();
  const { add, columns } = writer(ms.length);
  const flag = scales.indexOf(scale) << 2;
  for (let row = 0; row < ms.length; row += 1) add(ms[row] ?? 0, ticks[row] ?? 0, NaN, flag, 0);
  return columns();
};

const merged = (one: Columns, other: Columns): Columns => {
  if (one.ms.length === 0) return other;
  if (other.ms.length === 0) return one;
  const { add, columns } = writer(one.ms.length + other.ms.length);
  let [left, right] = [0, 0];
  const take = (from: Columns, row: number): void =>
    add(from.ms[row] ?? 0, from.ticks[row] ?? 0, from.lowest[row] ?? NaN, from.flags[row] ?? 0, from.runs[row] ?? 0);
  while (left < one.ms.length || right < other.ms.length) {
    if ((one.ms[left] ?? Infinity) <= (other.ms[right] ?? Infinity)) take(one, left++);
    else take(other, right++);
  }
  return columns();
};

/** Merges neighbours pairwise, so that many small imports cost no more than a few large ones. */
const mergedAll = (all: readonly Columns[]): Columns => {
  const [first, second] = all;
  if (first === undefined) return writer(0).columns();
  if (second === undefined) return first;
  const middle = all.length >> 1;
  return merged(mergedAll(all.slice(0, middle)), mergedAll(all.slice(middle)));
};

const columnFrom = (marks: readonly TemperatureMark[], logs: readonly LogMark[]): Column => {
  const typedMarks = marksRead(marks);
  const words = new Map(
    typedMarks
      .flatMap(({ base, text, lowest }) => [{ base, text }, ...(lowest ? [lowest] : [])])
      .toReversed()
      .map(({ base, text }) => [ticksUnder(base), text]),
  );
  return { ...mergedAll([typedColumns(typedMarks), ...unstruck(logs).map(loggedColumns)]), words };
};

/** Made once for each pair of lists, because the build keeps the same list objects until something is entered for the place. */
const columnsOf = memoised((marks: readonly TemperatureMark[]) =>
  memoised((logs: readonly LogMark[]) => columnFrom(marks, logs)),
);

/** Everything known about the temperature of a place; '' is the unnamed place. */
export const columnOf = (around: Surroundings, place: string): Column =>
  columnsOf(around.temperatures(place))(around.logs(place));
