import { civilFromDays } from '../../quantity/calendar.ts';
import { parseInstant } from '../../quantity/time.ts';

const pad = (value: number): string => String(value).padStart(2, '0');

const dayMs = 86_400_000;
const hourMs = 3_600_000;
const minuteMs = 60_000;

const shifted = (ms: number, offset: number): number => ms + offset * minuteMs;

/** The time of day: `14:02`. `ms` since 1970, `offset` in minutes east of UTC. */
export const wallTime = (ms: number, offset: number): string => {
  const inDay = ((shifted(ms, offset) % dayMs) + dayMs) % dayMs;
  return `${pad(Math.floor(inDay / hourMs))}:${pad(Math.floor(inDay / minuteMs) % 60)}`;
};

const weekdays = ['Thu', 'Fri', 'Sat', 'Sun', 'Mon', 'Tue', 'Wed'];

/** A time as one says it today: `14:02`, `14:02 tomorrow`, `14:02 yesterday`, within a week `Sat 14:02`, else the date. */
export const spokenTime = (ms: number, now: number, offset: number): string => {
  const day = Math.floor(shifted(ms, offset) / dayMs);
  const away = day - Math.floor(shifted(now, offset) / dayMs);
  const time = wallTime(ms, offset);
  if (away === 0) return time;
  if (away === 1) return `${time} tomorrow`;
  if (away === -1) return `${time} yesterday`;
  if (Math.abs(away) < 7) return `${weekdays[((day % 7) + 7) % 7] ?? ''} ${time}`;
  const date = civilFromDays(day);
  return `${date.year}-${pad(date.month)}-${pad(date.day)} ${time}`;
};

/** A time span (ms), as exact as the bench needs it: `45 s`, `21 min`, `3 h 05 min`, `2 d 4 h`. Never rounded up. */
export const spanWords = (ms: number): string => {
  const whole = Math.max(0, ms);
  if (whole < minuteMs) return `${Math.floor(whole / 1000)} s`;
  if (whole < hourMs) return `${Math.floor(whole / minuteMs)} min`;
  const hours = Math.floor(whole / hourMs);
  const minutes = Math.floor(whole / minuteMs) % 60;
  if (hours < 48) return minutes === 0 ? `${hours} h` : `${hours} h ${pad(minutes)} min`;
  return hours % 24 === 0 ? `${Math.floor(hours / 24)} d` : `${Math.floor(hours / 24)} d ${hours % 24} h`;
};

/** The time that is left (ms), for a clock that runs down: `21:34`, `1:02:05`; `0:00` once it is over. */
export const countdown = (ms: number): string => {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor(seconds / 60) % 60;
  return hours > 0 ? `${hours}:${pad(minutes)}:${pad(seconds % 60)}` : `${minutes}:${pad(seconds % 60)}`;
};

/** A text with its instants as a person says them: `until 2026-03-02T09:35:00+01:00` becomes `until 09:35`. */
export const spoken = (text: string, now: number, offset: number): string =>
  text.replace(/\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d+)?(?:Z|[+-]\d{2}:\d{2})/g, (found) => {
    const instant = parseInstant(found);
    return instant.ok ? spokenTime(instant.value.ms, now, offset) : found;
  });

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A time that is only foreseen: `about 14:20` today, else with its day, `Tue 7 Apr about 07:27`. @param offset in minutes. */
export const foreseenTime = (at: number, now: number, offset: number): string => {
  const day = Math.floor(shifted(at, offset) / dayMs);
  const about = `about ${wallTime(at, offset)}`;
  if (day === Math.floor(shifted(now, offset) / dayMs)) return about;
  const { month, day: ofMonth } = civilFromDays(day);
  return `${weekdays[((day % 7) + 7) % 7] ?? ''} ${ofMonth} ${months[month - 1] ?? ''} ${about}`;
};
