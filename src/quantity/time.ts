import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { civilFromDays, daysFromCivil, daysInMonth, isDate, type CivilDate } from './calendar.ts';
import { longestText, plainText, quoted, readNumber } from './number.ts';

export interface Instant {
  readonly text: string;
  /** Milliseconds since 1970-01-01T00:00:00Z, whole. */
  readonly ms: number;
  /** Minutes east of Greenwich. */
  readonly offset: number;
}

const digits = (value: number, places: number): string => value.toString().padStart(places, '0');

const dayMs = 86_400_000;
const minuteMs = 60_000;

const notInstant = (text: string, why: string): Fault =>
  usage('instant-unreadable', `${quoted(text)} is no instant: ${why}`, 'write it as in 2026-03-02T09:00:00+01:00');

const instantPattern =
  /^(\d{4})-(\d{2})-(\d{2})[Tt](\d{2}):(\d{2}):(\d{2})(?:\.(\d{1,9}))?(?:[Zz]|([+-])(\d{2}):(\d{2}))$/;

const offsetOf = (sign: string | undefined, hours: number, minutes: number): number | undefined => {
  if (sign === undefined) return 0;
  if (hours > 23 || minutes > 59) return undefined;
  return (sign === '-' ? -1 : 1) * (hours * 60 + minutes) + 0;
};

/** A leap second is the last of a month in UTC (RFC 3339 section 5.7). */
const endsMonth = (msAfter: number): boolean => msAfter % dayMs === 0 && civilFromDays(msAfter / dayMs).day === 1;

/**
 * RFC 3339, strictly: every field in its range, the day in its month, an offset. `:60` is taken as the next second, and only
 * where a leap second can be; decimals beyond the millisecond are cut off.
 */
export const parseInstant = (text: string): Outcome<Instant> => {
  const parts = text.length > 60 ? null : instantPattern.exec(text);
  if (parts === null) return err(notInstant(text, 'it is not in the form of RFC 3339, with an offset'));
  const field = (n: number): number => Number(parts[n] ?? 0);
  const date = { year: field(1), month: field(2), day: field(3) };
  if (!isDate(date)) return err(notInstant(text, 'there is no such day'));
  const [hour, minute, second] = [field(4), field(5), field(6)];
  if (hour > 23 || minute > 59 || second > 60) return err(notInstant(text, 'there is no such time of day'));
  const offset = offsetOf(parts[8], field(9), field(10));
  if (offset === undefined) return err(notInstant(text, 'there is no such offset'));
  const start = daysFromCivil(date) * dayMs + ((hour * 60 + minute - offset) * 60 + second) * 1000;
  if (second === 60 && !endsMonth(start)) return err(notInstant(text, 'no leap second can be there'));
  return ok({ text, ms: start + Number((parts[7] ?? '').padEnd(3, '0').slice(0, 3)), offset });
};

const offsetPattern = /^([+-])(\d{2}):(\d{2})$/;

/** `+01:00`, `Z`: minutes east of Greenwich. */
export const parseOffset = (text: string): Outcome<number> => {
  const parts = offsetPattern.exec(text.replace('\u2212', '-'));
  const [hours, minutes] = [Number(parts?.[2]), Number(parts?.[3])];
  if (/^z$/i.test(text)) return ok(0);
  return parts !== null && hours <= 23 && minutes <= 59
    ? ok((parts[1] === '-' ? -1 : 1) * (hours * 60 + minutes) + 0)
    : err(usage('offset-unreadable', `${quoted(text)} is no offset`, 'write it as in +01:00, or Z'));
};

/** `+01:00`, and `+00:00` for UTC. */
export const printOffset = (offset: number): string => {
  const away = Math.abs(offset);
  return `${offset < 0 ? '-' : '+'}${digits(Math.floor(away / 60), 2)}:${digits(away % 60, 2)}`;
};

interface Day extends CivilDate {
  readonly text: string;
}

/** A calendar day, `2027-01-31`. */
export const parseDay = (text: string): Outcome<Day> => {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  const day = { text, year: Number(parts?.[1]), month: Number(parts?.[2]), day: Number(parts?.[3]) };
  return parts !== null && isDate(day)
    ? ok(day)
    : err(usage('day-unreadable', `${quoted(text)} is no day of the calendar`, 'write it as in 2027-01-31'));
};

/** The last millisecond of that day, at an offset in minutes east. */
export const endOfDay = (day: CivilDate, offsetMinutes: number): number =>
  (daysFromCivil(day) + 1) * dayMs - offsetMinutes * minuteMs - 1;

/** RFC 3339; offset 0 as `Z`, milliseconds only where there are any. */
export const printInstant = (ms: number, offset: number): string => {
  const local = ms + offset * minuteMs;
  const days = Math.floor(local / dayMs);
  const { year, month, day } = civilFromDays(days);
  const rest = local - days * dayMs;
  const second = Math.floor(rest / 1000);
  const time = [Math.floor(second / 3600), Math.floor(second / 60) % 60, second % 60]
    .map((part) => digits(part, 2))
    .join(':');
  const part = rest % 1000 === 0 ? '' : `.${digits(rest % 1000, 3)}`;
  const zone = offset === 0 ? 'Z' : printOffset(offset);
  return `${digits(year, 4)}-${digits(month, 2)}-${digits(day, 2)}T${time}${part}${zone}`;
};

/** The same local time so many months later, on the last day of the month where the day does not exist. */
export const addMonths = (ms: number, offset: number, months: number): number => {
  const local = ms + offset * minuteMs;
  const days = Math.floor(local / dayMs);
  const from = civilFromDays(days);
  const count = from.year * 12 + from.month - 1 + months;
  const [year, month] = [Math.floor(count / 12), (((count % 12) + 12) % 12) + 1];
  const to = daysFromCivil({ year, month, day: Math.min(from.day, daysInMonth(year, month)) });
  return ms + (to - days) * dayMs;
};

export interface Duration {
  readonly text: string;
  /** Whole milliseconds. */
  readonly ms: number;
}

/** Months and milliseconds: a span of the calendar and of the clock. */
export interface CalendarDuration extends Duration {
  readonly months: number;
}

interface TimeUnit {
  readonly pattern: RegExp;
  readonly ms: number;
  readonly months: number;
}

/** Largest first; a day is 24 hours. */
const timeUnits: readonly TimeUnit[] = [
  { pattern: /^(?:y|years?)$/, ms: 0, months: 12 },
  { pattern: /^(?:months?|mo)$/, ms: 0, months: 1 },
  { pattern: /^(?:wk|weeks?)$/, ms: 7 * dayMs, months: 0 },
  { pattern: /^(?:d|days?)$/, ms: dayMs, months: 0 },
  { pattern: /^(?:h|hrs?|hours?)$/, ms: 3_600_000, months: 0 },
  { pattern: /^(?:m|mins?|minutes?)$/, ms: minuteMs, months: 0 },
  { pattern: /^(?:s|secs?|seconds?)$/, ms: 1000, months: 0 },
  { pattern: /^(?:ms|milliseconds?)$/, ms: 1, months: 0 },
];

/** A thousand years of 365.25 days: beyond it, a slip of the hand. */
const longest = 365_250 * dayMs;

const notDuration = (code: string, text: string, why: string): Fault =>
  usage(code, `${quoted(text)} is no length of time: ${why}`, 'write it as in 24 h, 35 min, 7 d or 11 h 50 min');

const readParts = (text: string, code: string, units: readonly TimeUnit[]): Outcome<CalendarDuration> => {
  const plain = text.length > longestText ? '' : plainText(text);
  if (plain === '') return err(notDuration(code, text, 'nothing, or too much, is written'));
  let [ms, months, last, at] = [0, 0, -1, 0];
  while (at < plain.length) {
    const number = readNumber(plain, at);
    if (!number.ok) return err(notDuration(code, text, 'a number and a unit are wanted'));
    const word = /^ *([a-zA-Z]+)\.? *(?:and )?/.exec(plain.slice(number.value.end));
    const place = units.findIndex((unit) => unit.pattern.test(word?.[1] ?? ''));
    const unit = units[place];
    if (word === null || unit === undefined) return err(notDuration(code, text, 'a unit of time is missing'));
    if (place <= last) return err(notDuration(code, text, 'the larger unit must come first, and each once'));
    const amount = number.value.amount.mul(unit.months > 0 ? unit.months : unit.ms);
    if (amount.s < 0n) return err(notDuration(code, text, 'it is negative'));
    if (amount.d !== 1n)
      return err(
        notDuration(code, text, unit.months > 0 ? 'months are whole' : 'it is no whole number of milliseconds'),
      );
    if (amount.compare(longest) > 0) return err(notDuration(code, text, 'it is longer than a thousand years'));
    if (unit.months > 0) months += Number(amount.n);
    else ms += Number(amount.n);
    last = place;
    at = number.value.end + word[0].length;
  }
  return ms <= longest && months <= 12_000
    ? ok({ text, ms, months })
    : err(notDuration(code, text, 'it is longer than a thousand years'));
};

/** `24 h`, `35 min`, `7 d`, `11 h 50 min`, `90 s`: whole milliseconds, a day is 24 hours. */
export const parseDuration = (text: string): Outcome<Duration> => {
  const read = readParts(text, 'duration-unreadable', timeUnits.slice(2));
  return read.ok ? ok({ text, ms: read.value.ms }) : read;
};

/** As a duration, and also months and years of the calendar: `6 months`, `1 year 10 d`. */
export const parseSpan = (text: string): Outcome<CalendarDuration> => readParts(text, 'span-unreadable', timeUnits);

/** `18 h`, `11 h 50 min`, `45 s`; days from seven on (`7 d`), because manuals state cures of a few days in hours. */
export const printDuration = (ms: number): string => {
  const whole = Math.abs(Math.trunc(ms));
  const days = whole >= 7 * dayMs ? Math.floor(whole / dayMs) : 0;
  const rest = whole - days * dayMs;
  const seconds = (rest % minuteMs) / 1000;
  const parts = [
    { count: days, name: 'd' },
    { count: Math.floor(rest / 3_600_000), name: 'h' },
    { count: Math.floor(rest / minuteMs) % 60, name: 'min' },
    { count: seconds, name: 's' },
  ].filter((part) => part.count !== 0);
  const text = parts.map((part) => `${part.count} ${part.name}`).join(' ');
  return `${ms < 0 && text !== '' ? '-' : ''}${text === '' ? '0 s' : text}`;
};
