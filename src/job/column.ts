import { memoised } from '../fault/memo.ts';
import { ticksUnder } from '../quantity/ticks.ts';
import { scaleOf, mergedAll, rowFlag, rowWriter, type Rows } from './column-rows.ts';
import { spansOf, type Claims, type Spans } from './column-spans.ts';
import type { LogMark, TemperatureMark } from './surroundings.ts';
import { degreesText, marksRead, unstruck, type KnownTemperature, type Thermometers } from './temperatures.ts';

/**
 * Everything known about the temperature of a place, in order of time, as columns of numbers. A cure with a hundred thousand readings is
 * then decided in one fast pass. Each instant has one row; of two temperatures at one instant, the colder counts.
 */
export interface Column extends Rows {
  /** Temperatures as typed, by their ticks. */
  readonly words: ReadonlyMap<number, string>;
  /** The time between the rows, and how cold it was. */
  readonly spans: Spans;
}

/**
 * A temperature of this column in words: as typed, else in the logger's scale.
 * @param ticks ninths of a nanokelvin.
 * @param row index from 0.
 */
export const temperatureWords = (column: Column, ticks: number, row: number): string =>
  column.words.get(ticks) ?? degreesText(ticks, scaleOf(column, row));

const typedRows = (marks: readonly KnownTemperature[]): Rows => {
  const { add, rows } = rowWriter(marks.length);
  for (const mark of marks)
    add(
      mark.ms,
      ticksUnder(mark.base),
      rowFlag.typed | (mark.doubtful ? rowFlag.doubtful : 0),
      mark.run === undefined ? 0 : mark.run + 1,
    );
  return rows();
};

const loggedRows = (log: LogMark): Rows => {
  const { ms, ticks, scale } = log.rows();
  const { add, rows } = rowWriter(ms.length);
  const flag = rowFlag.scaled(scale);
  for (let row = 0; row < ms.length; row += 1) add(ms[row] ?? 0, ticks[row] ?? 0, flag, 0);
  return rows();
};

/** What max-min thermometers say, typed and logged. */
const claimsIn = (marks: readonly KnownTemperature[], logs: readonly LogMark[]): Claims => {
  const all: { since: number; when: number; low: number; isDoubtful: boolean }[] = marks.flatMap(
    ({ ms, lowest, doubtful: isDoubtful }) =>
      lowest ? [{ since: lowest.since, when: ms, low: ticksUnder(lowest.base), isDoubtful }] : [],
  );
  for (const log of logs) {
    const { ms, lowest } = log.rows();
    if (lowest === undefined) continue;
    // A row speaks since the row before it; rows of one instant are one row.
    let since = Infinity;
    for (let row = 0; row < ms.length; row += 1) {
      const [when, low] = [ms[row] ?? 0, lowest[row] ?? NaN];
      if (row > 0 && (ms[row - 1] ?? 0) < when) since = ms[row - 1] ?? 0;
      if (!Number.isNaN(low)) all.push({ since, when, low, isDoubtful: false });
    }
  }
  return all.filter(({ since, when }) => since < when);
};

const columnFrom = (marks: readonly TemperatureMark[], logs: readonly LogMark[]): Column => {
  const [typedMarks, counting] = [marksRead(marks), unstruck(logs)];
  const words = new Map(
    typedMarks
      .flatMap(({ base, text, lowest }) => [{ base, text }, ...(lowest ? [lowest] : [])])
      .toReversed()
      .map(({ base, text }) => [ticksUnder(base), text]),
  );
  const rows = mergedAll([typedRows(typedMarks), ...counting.map(loggedRows)]);
  return { ...rows, words, spans: spansOf(rows, claimsIn(typedMarks, counting)) };
};

/** Made once for each pair of lists, because the build keeps the same list objects until something is entered for the place. */
const columnsOf = memoised((marks: readonly TemperatureMark[]) =>
  memoised((logs: readonly LogMark[]) => columnFrom(marks, logs)),
);

/** Everything known about the temperature of a place; '' is the unnamed place. */
export const columnOf = (around: Thermometers, place: string): Column =>
  columnsOf(around.temperatures(place))(around.logs(place));
