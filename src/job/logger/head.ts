import { cellsOf, separators, type Separator } from './cells.ts';
import { readDegrees, scaleIn } from './degrees.ts';
import { readTime } from './instants.ts';
import type { LogWords } from './log.ts';

/** Which columns of a file have times and temperatures. Columns count from 0. */
export interface Head {
  readonly separator: Separator;
  /** The column of the time, or that of the date and that of the time; counted from 0. */
  readonly time: readonly number[];
  /** The column of the temperature, counted from 0. */
  readonly temperature: number;
  /** The column of the lowest temperature since the row before, from 0; absent where the file has none. */
  readonly minimum?: number;
  /** The headings; an empty list where the file has none. */
  readonly names: readonly string[];
  /** How many columns there are. */
  readonly columns: number;
}

export type HeadFound =
  | { readonly kind: 'head'; readonly head: Head }
  /** Several columns may be meant, or no column has the name that was given. */
  | { readonly kind: 'unclear'; readonly columns: readonly string[] }
  | { readonly kind: 'none' };

const none: HeadFound = { kind: 'none' };

const plain = (heading: string): string => heading.toLowerCase().replace(/[_.\-/&]+/g, ' ');

const isTime = (heading: string): boolean =>
  /\b(?:date\s*time|time\s*stamp|timestamp|datetime|time|epoch|unix)\b/.test(plain(heading));
const isDate = (heading: string): boolean => /\bdate\b/.test(plain(heading));

/** True for a temperature of the air or of the work. The dew point, a wet bulb and an alarm setting do not count. */
const isTemperature = (heading: string): boolean =>
  (/temp|celsius|fahrenheit|kelvin/.test(plain(heading)) || /[°º˚]\s*[cf]\b/i.test(heading)) &&
  !/\b(?:dew|wet|alarm|set|feels|heat index)/.test(plain(heading));

/** True for the heading of the lowest, or the highest, temperature since the row before. */
const isMinimum = (heading: string): boolean =>
  isTemperature(heading) && /\b(?:min|minimum|lowest|low)\b/.test(plain(heading));
const isMaximum = (heading: string): boolean =>
  isTemperature(heading) && /\b(?:max|maximum|highest|high)\b/.test(plain(heading));

/** The columns of the time, from 0; empty where there is none. */
const timeColumns = (names: readonly string[]): readonly number[] => {
  const both = names.findIndex((name) => isTime(name) && isDate(name));
  if (both >= 0) return [both];
  const [date, time] = [names.findIndex(isDate), names.findIndex(isTime)];
  if (date >= 0 && time >= 0) return [date, time];
  return time >= 0 ? [time] : date >= 0 ? [date] : [];
};

/** The column that the person asked for, by name or by number from 1; returned from 0. @param count how many columns there are. */
const asked = (names: readonly string[], count: number, column: string): number => {
  const byName = names.findIndex((name) => name.toLowerCase() === column.trim().toLowerCase());
  if (byName >= 0) return byName;
  const number = /^\d{1,3}$/.test(column.trim()) ? Number(column) - 1 : -1;
  return number < count ? number : -1;
};

/** The columns by their headings or numbers, without some of them (numbers from 0). */
const others = (all: readonly string[], names: readonly string[], without: readonly number[]): readonly string[] =>
  all.flatMap((_, index) => (without.includes(index) ? [] : [names[index] ?? String(index + 1)]));

/**
 * The column of the minima: the one that the person names, else the one that is headed so; none where several are.
 * @param count how many columns there are.
 * @param taken columns (from 0) that have another use.
 */
const minimumIn = (
  names: readonly string[],
  count: number,
  taken: readonly number[],
  words: LogWords,
): number | undefined | 'unclear' => {
  if (words.minimum !== undefined) {
    const named = asked(names, count, words.minimum);
    return named >= 0 && !taken.includes(named) ? named : 'unclear';
  }
  const [only, ...more] = names.flatMap((name, index) => (isMinimum(name) && !taken.includes(index) ? [index] : []));
  return more.length > 0 ? undefined : only;
};

const chosen = (
  from: readonly number[],
  all: readonly string[],
  separator: Separator,
  time: readonly number[],
  names: readonly string[],
  words: LogWords,
): HeadFound => {
  const named = words.column === undefined ? undefined : asked(names, all.length, words.column);
  // A column of minima or maxima is the temperature only where the file has no other.
  const plainOnes = from.filter((column) => !isMinimum(names[column] ?? '') && !isMaximum(names[column] ?? ''));
  const offeredHere = plainOnes.length > 0 ? plainOnes : from;
  const columns = named === undefined ? offeredHere : named >= 0 && !time.includes(named) ? [named] : [];
  const [temperature] = columns;
  if (temperature !== undefined && columns.length === 1) {
    const minimum = minimumIn(names, all.length, [temperature, ...time], words);
    if (minimum === 'unclear') return { kind: 'unclear', columns: others(all, names, [temperature, ...time]) };
    const head = { separator, time, temperature, names, columns: all.length };
    return { kind: 'head', head: minimum === undefined ? head : { ...head, minimum } };
  }
  return {
    kind: 'unclear',
    columns: columns.length > 0 ? columns.map((index) => names[index] ?? String(index + 1)) : others(all, names, time),
  };
};

/** Reads a line of headings, which must name a time and a temperature. */
const headings = (cells: readonly string[], separator: Separator, words: LogWords): HeadFound => {
  const names = cells.map((cell) => cell.replace(/^#\s*/, ''));
  const time = timeColumns(names);
  const [first] = time;
  // A line with a temperature in it is a row of data and not a line of headings.
  if (first === undefined || cells.some((cell) => readDegrees(cell) !== undefined)) return none;
  const warm = names.flatMap((name, index) => (isTemperature(name) && !time.includes(index) ? [index] : []));
  const named = words.column !== undefined && names.length > 1;
  return warm.length === 0 && !named ? none : chosen(warm, cells, separator, time, names, words);
};

const isTimeText = (text: string): boolean => typeof readTime(text) !== 'string';

/** Reads a row of data without headings: the time first, then a temperature. */
const bareRow = (cells: readonly string[], separator: Separator, words: LogWords): HeadFound => {
  const [one = '', two = ''] = cells;
  const time = isTimeText(one) ? [0] : isTimeText(`${one} ${two}`) ? [0, 1] : [];
  if (time.length === 0 || cells.length <= time.length) return none;
  const warm = cells.flatMap((cell, index) => (!time.includes(index) && readDegrees(cell) ? [index] : []));
  return chosen(warm, cells, separator, time, [], words);
};

/** What one line says about the columns, whether it has the headings or is the first row of data. */
export const headIn = (line: string, words: LogWords): HeadFound => {
  const isRemark = line.startsWith('#');
  const found = separators.flatMap((separator) => {
    const cells = cellsOf(line, separator);
    if (cells === undefined || cells.length < 2) return [];
    const head = headings(cells, separator, words);
    return [head.kind === 'none' && !isRemark ? bareRow(cells, separator, words) : head];
  });
  return found.find(({ kind }) => kind === 'head') ?? found.find(({ kind }) => kind === 'unclear') ?? none;
};

/** False where the file has no headings, so that its first row is already data. */
export const hasHeadings = ({ names }: Head): boolean => names.length > 0;

export const headingScale = ({ names, temperature }: Head): ReturnType<typeof scaleIn> =>
  scaleIn(names[temperature] ?? '');
