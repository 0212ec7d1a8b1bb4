import { ticksUnder, type Scale } from '../quantity/ticks.ts';
import type { Surroundings, LogMark, TemperatureMark } from './surroundings.ts';
import { degreesText, logsAt, typedAt, type Warmth } from './temperatures.ts';

/**
 * All that is known of the temperature of a place, by time, in columns: a cure of a hundred thousand readings is decided in one pass
 * over whole numbers. Two at one instant are one, at the colder.
 */
export interface Column {
  /** Rising, ms. */
  readonly ms: Float64Array;
  /** Ninths of a nanokelvin. */
  readonly ticks: Float64Array;
  /** The lowest since the row before, where a thermometer told it; else NaN. */
  readonly lowest: Float64Array;
  readonly flags: Uint8Array;
  /** Which run of the machine's clock stamped it, from 1; 0 where a logger or a person said the time. */
  readonly runs: Uint16Array;
  /** What was typed, as it was typed. */
  readonly words: ReadonlyMap<number, string>;
}

const doubtful = 1;
const typed = 2;
const scales: readonly Scale[] = ['°C', '°F', 'K'];

/** How long it was since the row before is not known: the stamp of either is in doubt, or the clock was set right between them. */
export const isDoubtedBefore = ({ flags, runs }: Column, row: number): boolean => {
  if ((((flags[row - 1] ?? 0) | (flags[row] ?? 0)) & doubtful) !== 0) return true;
  const [one, other] = [runs[row - 1] ?? 0, runs[row] ?? 0];
  return one !== other && one !== 0 && other !== 0;
};
/** A person typed it; else a logger wrote it. */
export const isTyped = ({ flags }: Column, row: number): boolean => ((flags[row] ?? 0) & typed) !== 0;

/** A temperature of this column in words: as it was typed, else in the scale of the logger. */
export const wordsOf = ({ words, flags }: Column, ticks: number, row: number): string =>
  words.get(ticks) ?? degreesText(ticks, scales[(flags[row] ?? 0) >> 2] ?? '°C');

/** Rows in the order of their time; a second one of an instant makes the first colder. */
const writer = (most: number) => {
  const [ms, ticks, lowest] = [new Float64Array(most), new Float64Array(most), new Float64Array(most)];
  const [flags, runs] = [new Uint8Array(most), new Uint16Array(most)];
  let count = 0;
  const join = (row: number, warm: number, low: number, flag: number, run: number): void => {
    const before = ticks[row] ?? 0;
    const kept = flags[row] ?? 0;
    const ran = runs[row] ?? 0;
    const apart = ran !== 0 && run !== 0 && ran !== run ? doubtful : 0;
    if (warm < before) ticks[row] = warm;
    // the words of the colder, and the doubt of either
    flags[row] = (warm < before ? flag & ~3 : kept & ~3) | ((kept | flag | apart) & 3);
    runs[row] = Math.max(ran, run);
    const least = Number.isNaN(low) ? (lowest[row] ?? NaN) : Math.min(low, lowest[row] || Infinity);
    lowest[row] = Math.min(least, ticks[row] ?? 0);
  };
  return {
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

const typedColumns = (marks: readonly Warmth[]): Columns => {
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

/** Two and two, so that many small imports cost no more than a few large ones. */
const mergedAll = (all: readonly Columns[]): Columns => {
  const [first, second] = all;
  if (first === undefined) return writer(0).columns();
  if (second === undefined) return first;
  const middle = all.length >> 1;
  return merged(mergedAll(all.slice(0, middle)), mergedAll(all.slice(middle)));
};

const made = new WeakMap<readonly TemperatureMark[], WeakMap<readonly LogMark[], Column>>();

/** What is known of a place. Made once for what was entered; the build keeps the same lists until something is. */
export const columnOf = (around: Surroundings, place: string): Column => {
  const [marks, logs] = [around.temperatures(place), around.logs(place)];
  const byLogs = made.get(marks) ?? new WeakMap<readonly LogMark[], Column>();
  made.set(marks, byLogs);
  const known = byLogs.get(logs);
  if (known) return known;
  const warmths = typedAt(around, place);
  const words = new Map(
    warmths
      .flatMap(({ base, text, lowest }) => [{ base, text }, ...(lowest ? [lowest] : [])])
      .toReversed()
      .map(({ base, text }) => [ticksUnder(base), text]),
  );
  const column = { ...mergedAll([typedColumns(warmths), ...logsAt(around, place).map(loggedColumns)]), words };
  byLogs.set(logs, column);
  return column;
};
