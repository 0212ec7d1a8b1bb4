import { daysFromCivil, isDate } from '../../quantity/calendar.ts';

/** The form in which a file writes its times; it must be the same in all rows. */
export type TimeKind = 'with offset' | 'without offset' | 'seconds since 1970' | 'milliseconds since 1970';

export interface TimeRead {
  /** In ms since 1970. A time without an offset is read as if the logger's clock showed UTC. */
  readonly ms: number;
  readonly kind: TimeKind;
}

/** Matches a date as three numbers, in whatever order, and a time. */
const pattern =
  /^(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})(?:T|,?\s+)(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?(?:\s*([AP])\.?M\.?)?\s*(?:(Z|UTC|GMT)|(?:UTC|GMT)?([+\-\u2212])(\d{2}):?(\d{2}))?$/i;

/** Times as one number since 1970, by how many digits they have; `ms` is the length of one unit, in milliseconds. */
const epochs: Readonly<Record<number, { readonly kind: TimeKind; readonly ms: number }>> = {
  9: { kind: 'seconds since 1970', ms: 1000 },
  10: { kind: 'seconds since 1970', ms: 1000 },
  12: { kind: 'milliseconds since 1970', ms: 1 },
  13: { kind: 'milliseconds since 1970', ms: 1 },
};

/** Which of the first two numbers of `02/03/2026` is the day. */
export type DayPlace = 'day-first' | 'month-first';

/** What one date says about the place of the day: certain where one of the two numbers is not a month. */
export const dayPlaceIn = (text: string): DayPlace | 'unsaid' | undefined => {
  const parts = pattern.exec(text);
  if (parts === null || (parts[1] ?? '').length === 4 || parts[2] === '.') return undefined;
  if (Number(parts[1]) > 12) return 'day-first';
  return Number(parts[3]) > 12 ? 'month-first' : 'unsaid';
};

type Parts = readonly (string | undefined)[];

/**
 * Reads a date. With the year first there is one order only; with points, the day is first, as everywhere that points are used; else as the
 * file or the person says.
 */
const dateIn = (parts: Parts, place: DayPlace): { year: number; month: number; day: number } | undefined => {
  const [, one = '', separator, two, three = ''] = parts;
  if (one.length === 4) return { year: Number(one), month: Number(two), day: Number(three) };
  if (three.length !== 4 || one.length > 2) return undefined;
  const [day, month] = separator === '.' || place === 'day-first' ? [one, two] : [two, one];
  return { year: Number(three), month: Number(month), day: Number(day) };
};

/** The time of day in ms since midnight. */
const timeIn = (parts: Parts): number | undefined => {
  const half = parts[9]?.toLowerCase();
  const [hour, minute, second] = [Number(parts[5]), Number(parts[6]), Number(parts[7] ?? 0)];
  if (minute > 59 || second > 59 || hour > 23 || (half !== undefined && (hour < 1 || hour > 12))) return undefined;
  const full = half === undefined ? hour : (hour % 12) + (half === 'p' ? 12 : 0);
  return ((full * 60 + minute) * 60 + second) * 1000 + Number((parts[8] ?? '').padEnd(3, '0').slice(0, 3));
};

/** The offset in minutes east of UTC; `undefined` where none is written, NaN where no such offset exists. */
const offsetIn = (parts: Parts): number | undefined => {
  if (parts[10] !== undefined) return 0;
  if (parts[11] === undefined) return undefined;
  const [hours, minutes] = [Number(parts[12]), Number(parts[13])];
  return hours > 23 || minutes > 59 ? NaN : (parts[11] === '+' ? 1 : -1) * (hours * 60 + minutes);
};

/** Reads a time as loggers write it, or says why it cannot. */
export const readTime = (text: string, place: DayPlace = 'day-first'): TimeRead | string => {
  const epoch = /^\d+$/.test(text) ? epochs[text.length] : undefined;
  if (epoch) return { ms: Number(text) * epoch.ms, kind: epoch.kind };
  const parts = pattern.exec(text);
  if (parts === null) return 'is no date and time';
  const date = dateIn(parts, place);
  if (date === undefined) return 'has no year of four digits';
  if (!isDate(date)) return 'is no day of the calendar';
  const time = timeIn(parts);
  if (time === undefined) return 'is no time of day';
  const offset = offsetIn(parts);
  if (Number.isNaN(offset)) return 'has no offset that there is';
  const ms = daysFromCivil(date) * 86_400_000 + time;
  return offset === undefined ? { ms, kind: 'without offset' } : { ms: ms - offset * 60_000, kind: 'with offset' };
};

/** The offset in the words of a heading, in minutes east of UTC: `Date Time, GMT+01:00`, `Time (UTC)`. */
export const offsetInHeading = (heading: string): number | undefined => {
  const parts = /\b(?:gmt|utc)\s*(?:([+\-\u2212])(\d{1,2})(?::?(\d{2}))?)?(?![\d:])/i.exec(heading);
  if (parts === null) return undefined;
  const minutes = Number(parts[2] ?? 0) * 60 + Number(parts[3] ?? 0);
  return (parts[1] === undefined || parts[1] === '+' ? 1 : -1) * minutes + 0;
};
