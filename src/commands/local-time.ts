import { printInstant } from '../quantity/time.ts';
import type { Clock } from './host.ts';

/** A moment as the person's own clock shows it, to the minute: `2026-03-02 09:00`. @param ms since 1970 */
export const localTime = (clock: Clock, ms: number): string =>
  printInstant(ms, clock.offset(ms)).slice(0, 16).replace('T', ' ');

/** Today, where the person is: `2026-03-02`. */
export const localDay = (clock: Clock): string => localTime(clock, clock.wall()).slice(0, 10);
