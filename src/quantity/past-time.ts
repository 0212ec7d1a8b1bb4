import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { parseInstant, printInstant } from './time.ts';

const minute = 60_000;
const hour = 60 * minute;
const day = 24 * hour;

/** A time of day that somebody types is a whole minute, and may be the one that runs. */
const room = minute;

const unreadable = (text: string): Outcome<never> =>
  err(
    usage(
      'time-unreadable',
      `${text} is not a time`,
      'type it as 20:58, yesterday 20:58, 40 min ago or 2026-03-02 20:58',
    ),
  );

/** The beginning of the day of an instant, ms since 1970. @param offset in minutes east of UTC. */
const startOfDay = (ms: number, offset: number): number => {
  const local = ms + offset * minute;
  return local - (((local % day) + day) % day) - offset * minute;
};

/**
 * When something happened, as a person says it, in RFC 3339: a time of day (`20:58`: today, or yesterday where it has not come yet),
 * `yesterday 20:58`, `40 min ago`, `2 h ago`, a date with a time, or RFC 3339 itself. Whether it can have happened then is for the rules.
 * Code `time-unreadable`. @param now ms since 1970. @param offset in minutes east of UTC.
 */
export const parsePastTime = (text: string, now: number, offset: number): Outcome<string> => {
  const said = text.trim();
  if (parseInstant(said).ok) return ok(said);
  const ago = /^(\d{1,4}) ?(min|h) ago$/.exec(said);
  if (ago) return ok(printInstant(now - Number(ago[1]) * (ago[2] === 'h' ? hour : minute), offset));
  const clock = /^(?:(yesterday|\d{4}-\d{2}-\d{2}) )?(\d{1,2})[:.](\d{2})$/.exec(said);
  const [, which, hours = '', minutes = ''] = clock ?? [];
  if (!clock || Number(hours) > 23 || Number(minutes) > 59) return unreadable(text);
  const inDay = Number(hours) * hour + Number(minutes) * minute;
  const today = startOfDay(now, offset);
  if (which !== undefined && which !== 'yesterday') {
    const midnight = parseInstant(`${which}T00:00:00${printInstant(now, offset).slice(19)}`);
    return midnight.ok ? ok(printInstant(midnight.value.ms + inDay, offset)) : unreadable(text);
  }
  const isYesterday = which === 'yesterday' || today + inDay > now + room;
  return ok(printInstant(today + inDay - (isYesterday ? day : 0), offset));
};
