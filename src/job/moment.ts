import { endOfDay, parseDay } from '../quantity/time.ts';
import type { Surroundings } from './surroundings.ts';

/** When something is done, by whom, and the build around it: all that a rule needs to know beside the job and the step. */
export interface Moment {
  readonly around: Surroundings;
  /** The instant by which rules on time decide, ms. */
  readonly ms: number;
  /** Minutes east of UTC, as the person wrote the time. */
  readonly offset: number;
  /** Who acts. */
  readonly by: string;
  /** Who is named as helping, beside those named earlier in the job. */
  readonly with: readonly string[];
}

/** Whether a day (`2026-05-31`) is over, where the person is. */
export const isDayOver = (day: string, { ms, offset }: Moment): boolean => {
  const parsed = parseDay(day);
  return parsed.ok && endOfDay(parsed.value, offset) < ms;
};
