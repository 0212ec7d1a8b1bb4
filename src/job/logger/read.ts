import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { quoted } from '../../quantity/number.ts';
import type { Scale } from '../../quantity/ticks.ts';
import { cellsOf } from './cells.ts';
import { readDegrees, ticksIn } from './degrees.ts';
import { hasHeadings, headIn, headingScale, type Head } from './head.ts';
import { dayPlaceIn, offsetInHeading, readTime, type DayPlace, type TimeKind } from './instants.ts';
import { inOrder } from './order.ts';
import type { Log, LogWords } from './log.ts';
import { columnName, readAs, saidOf, type LogReading } from './said.ts';
import { textOfBytes } from './text.ts';

/** The most rows that a file may have: about a year of readings twice a minute. */
const mostRows = 1_000_000;
const mostBytes = 64 * 1024 * 1024;
/** The most lines above the headings. Some loggers describe themselves first. */
const mostPreamble = 60;
const longestLine = 4000;

const nothing = 'nothing was imported';

const unread = (what: string, todo: string, where?: string): Fault =>
  usage('log-unreadable', what, `${todo}; ${nothing}`, where);

/** Names a place in the file for a fault. @param line counted from 1. */
type At = (line: number) => string;

interface Row {
  /** Line number in the file, from 1. */
  readonly line: number;
  readonly time: string;
  readonly degrees: string;
  /** The lowest since the row before; '' where the row has none. */
  readonly lowest: string;
}

const isPassedOver = (line: string): boolean => line.trim() === '' || /^[\s,;]*$/.test(line) || line.startsWith('#');

/** The columns that the person named. */
const namedColumns = ({ column, minimum }: LogWords): string =>
  [
    ...(column === undefined ? [] : [`${quoted(column)} for the temperature`]),
    ...(minimum === undefined ? [] : [`${quoted(minimum)} for the lowest`]),
  ].join(' and ');

/** Finds the headings or the first row of data. `line` is its number, from 0. */
const findHead = (
  lines: readonly string[],
  words: LogWords,
  at: At,
): Outcome<{ readonly head: Head; readonly line: number }> => {
  let looked = 0;
  for (const [index, line] of lines.entries()) {
    if (line.trim() === '') continue;
    if (line.length > longestLine || (looked += 1) > mostPreamble) break;
    const found = headIn(line, words);
    if (found.kind === 'head') return ok({ head: found.head, line: index });
    if (found.kind === 'unclear')
      return err(
        unread(
          words.column === undefined && words.minimum === undefined
            ? `line ${index + 1} has several columns that may be the temperature: ${found.columns.map(quoted).join(', ')}`
            : `line ${index + 1} has no column ${namedColumns(words)}`,
          words.column === undefined && words.minimum === undefined
            ? 'say which one (column)'
            : `name one of: ${found.columns.map(quoted).join(', ')}`,
          at(index + 1),
        ),
      );
  }
  return err(
    unread(
      'no column of times and none of temperatures is found',
      'give the file a first line such as: time,temperature (°C)',
      at(1),
    ),
  );
};

/**
 * The rows below the head, or the first line that cannot be read.
 * @param from index (from 0) of the headings, or of the first row of data.
 */
const rowsOf = (lines: readonly string[], head: Head, from: number, at: At): Outcome<readonly Row[]> => {
  const rows: Row[] = [];
  const heading = hasHeadings(head) ? lines[from] : undefined;
  const least = Math.max(head.temperature, head.minimum ?? 0, ...head.time) + 1;
  for (let index = heading === undefined ? from : from + 1; index < lines.length; index += 1) {
    const line = lines[index] ?? '';
    // A log that was joined from several has its headings again, further down.
    if (isPassedOver(line) || line === heading) continue;
    const cells = line.length > longestLine ? undefined : cellsOf(line, head.separator);
    if (cells === undefined)
      return err(
        unread(
          `line ${index + 1} cannot be taken apart`,
          'mend it: a quote is not closed, or it is too long',
          at(index + 1),
        ),
      );
    if (cells.length < least)
      return err(
        unread(
          `line ${index + 1} has ${cells.length} of at least ${least} columns`,
          'mend the line, or take it out',
          at(index + 1),
        ),
      );
    // A decimal comma between commas, as in 17,5, would be read as 17 with its half degree in another column.
    if (cells.slice(head.columns).some((cell) => cell !== ''))
      return err(
        unread(
          `line ${index + 1} has more than the ${head.columns} columns of the file`,
          'put what holds the separator into quotes, or export it with semicolons',
          at(index + 1),
        ),
      );
    const time = head.time.map((column) => cells[column] ?? '').join(' ');
    const lowest = head.minimum === undefined ? '' : (cells[head.minimum] ?? '');
    rows.push({ line: index + 1, time, degrees: cells[head.temperature] ?? '', lowest });
    if (rows.length > mostRows)
      return err(unread(`the log has more than ${mostRows} rows`, 'import it in parts', at(index + 1)));
  }
  return rows.length > 0 ? ok(rows) : err(unread('the log has no row', 'export it again', at(from + 1)));
};

/** The place of the day in dates such as 02/03/2026. One row that can be read in one way only decides it for all rows. */
const dayPlace = (rows: readonly Row[], words: LogWords, at: At): Outcome<DayPlace> => {
  let unsaid: Row | undefined;
  for (const row of rows) {
    const place = dayPlaceIn(row.time);
    if (place === undefined) return ok(words.dates ?? 'day-first');
    if (place !== 'unsaid') return ok(words.dates ?? place);
    unsaid ??= row;
  }
  if (words.dates !== undefined || unsaid === undefined) return ok(words.dates ?? 'day-first');
  return err(
    unread(
      `${quoted(unsaid.time)} may mean two days, and no other row tells which`,
      'say which (dates=day-first, or dates=month-first)',
      at(unsaid.line),
    ),
  );
};

/** The scale: from the heading, from the cells, or as the person says. */
const scaleOf = (rows: readonly Row[], head: Head, words: LogWords, at: At): Outcome<Scale> => {
  const [first] = rows;
  const said = headingScale(head) ?? readDegrees(first?.degrees ?? '')?.scale;
  const where = at(first?.line ?? 1);
  if (said === undefined && words.unit === undefined)
    return err(
      unread(`${columnName(head, head.temperature)} has no unit`, 'say which (unit=C, unit=F or unit=K)', where),
    );
  if (said !== undefined && words.unit !== undefined && said !== words.unit)
    return err(
      unread(`${columnName(head, head.temperature)} is in ${said}, not in ${words.unit}`, 'leave unit out', where),
    );
  return ok(said ?? words.unit ?? '°C');
};

interface Columns {
  readonly ms: Float64Array;
  readonly ticks: Float64Array;
  /** NaN where a row has none. */
  readonly lowest: Float64Array;
  readonly kind: TimeKind;
}

/** Why one cell of a row cannot be read. */
interface BadCell {
  readonly of: 'time' | 'degrees' | 'lowest';
  readonly why: string;
}

const readCell = (row: Row, of: 'degrees' | 'lowest', scale: Scale): number | BadCell => {
  const degrees = readDegrees(row[of]);
  if (degrees === undefined) return { of, why: 'is no temperature' };
  if (degrees.scale !== undefined && degrees.scale !== scale) return { of, why: `is not in ${scale}` };
  const ticks = ticksIn(degrees, scale);
  return typeof ticks === 'string' ? { of, why: ticks } : ticks;
};

const readRow = (
  row: Row,
  place: DayPlace,
  scale: Scale,
  kind: TimeKind | undefined,
): { readonly ms: number; readonly ticks: number; readonly lowest: number; readonly kind: TimeKind } | BadCell => {
  const time = readTime(row.time, place);
  if (typeof time === 'string') return { of: 'time', why: time };
  if (kind !== undefined && time.kind !== kind)
    return { of: 'time', why: `is ${time.kind}, and the rows above are ${kind}` };
  const ticks = readCell(row, 'degrees', scale);
  if (typeof ticks !== 'number') return ticks;
  const lowest = row.lowest === '' ? NaN : readCell(row, 'lowest', scale);
  if (typeof lowest !== 'number') return lowest;
  return lowest > ticks
    ? { of: 'lowest', why: `is above the temperature of the row, ${row.degrees}` }
    : { ms: time.ms, ticks, lowest, kind: time.kind };
};

const readRows = (rows: readonly Row[], head: Head, place: DayPlace, scale: Scale, at: At): Outcome<Columns> => {
  const [ms, ticks] = [new Float64Array(rows.length), new Float64Array(rows.length)];
  const lowest = new Float64Array(rows.length);
  const columns = { time: head.time[0] ?? 0, degrees: head.temperature, lowest: head.minimum ?? head.temperature };
  let kind: TimeKind | undefined;
  for (const [index, row] of rows.entries()) {
    const read = readRow(row, place, scale, kind);
    if ('why' in read) {
      const text = row[read.of];
      const what = text === '' ? 'is empty' : `${quoted(text)} ${read.why}`;
      const where = columnName(head, columns[read.of]);
      return err(unread(`line ${row.line}, ${where}: ${what}`, 'mend the line, or take it out', at(row.line)));
    }
    kind ??= read.kind;
    ms[index] = read.ms;
    ticks[index] = read.ticks;
    lowest[index] = read.lowest;
  }
  return ok({ ms, ticks, lowest, kind: kind ?? 'without offset' });
};

/** Line number (from 1) of the row with the latest time. @param ms times of the rows, ms since 1970. */
const latestLine = (rows: readonly Row[], ms: Float64Array): number => {
  let latest = 0;
  for (let index = 1; index < ms.length; index += 1) if ((ms[index] ?? 0) > (ms[latest] ?? 0)) latest = index;
  return rows[latest]?.line ?? 1;
};

/**
 * Reads a whole logger's CSV, or names the first thing that cannot be read, by line and column. Fault (usage): `log-unreadable`.
 * @param name the file's own name, for the fault.
 */
export const readLog = (bytes: Uint8Array, name: string, words: LogWords = {}): Outcome<Log> => {
  const at: At = (line) => `${name}:${line}`;
  if (bytes.length > mostBytes)
    return err(unread(`the log has more than ${mostBytes / 1024 / 1024} MiB`, 'import it in parts', name));
  const lines = textOfBytes(bytes).split(/\r\n|\n|\r/);
  const found = findHead(lines, words, at);
  if (!found.ok) return found;
  const { head, line } = found.value;
  const rows = rowsOf(lines, head, line, at);
  if (!rows.ok) return rows;
  const place = dayPlace(rows.value, words, at);
  if (!place.ok) return place;
  const scale = scaleOf(rows.value, head, words, at);
  if (!scale.ok) return scale;
  const read = readRows(rows.value, head, place.value, scale.value, at);
  if (!read.ok) return read;
  const { ms, ticks, lowest, kind } = read.value;
  const heading =
    kind === 'without offset'
      ? offsetInHeading(head.time.map((column) => head.names[column] ?? '').join(' '))
      : undefined;
  const ordered = inOrder({ ms: ms.map((one) => one - (heading ?? 0) * 60_000), ticks, lowest });
  const isAsked = rows.value.some((row) => dayPlaceIn(row.time) !== undefined);
  const reading: LogReading = {
    head,
    above: lines.slice(0, line).filter((one) => !isPassedOver(one)).length,
    kind,
    scale: scale.value,
    late: ordered.late,
    twice: ordered.twice,
    ...(isAsked ? { place: place.value } : {}),
    ...(heading === undefined ? {} : { offset: heading }),
  };
  const { lowest: lows, ...kept } = ordered.rows;
  return ok({
    ...kept,
    ...(head.minimum === undefined ? {} : { lowest: lows }),
    scale: scale.value,
    isLocal: kind === 'without offset' && heading === undefined,
    lastLine: latestLine(rows.value, ms),
    read: readAs(reading),
    said: saidOf(reading),
  });
};
