import { endOfDay, parseDay } from '../quantity/time.ts';
import type { Surroundings } from './surroundings.ts';

/** When something is done, by whom, and in which build: all that a rule needs to know besides the job and the step. */
export interface Moment {
  readonly around: Surroundings;
  /** The instant by which rules on time decide, ms since 1970. */
  readonly ms: number;
  /** The offset of the time that the person wrote, minutes east of UTC. */
  readonly offset: number;
  /** The person who acts. */
  readonly by: string;
  /** The people named as helping, besides those named earlier in the job. */
  readonly with: readonly string[];
}

/** True where a day (`2026-05-31`) is over in the person's time zone. */
export const isDayOver = (day: string, { ms, offset }: Pick<Moment, 'ms' | 'offset'>): boolean => {
  const parsed = parseDay(day);
  return parsed.ok && endOfDay(parsed.value, offset) < ms;
};
