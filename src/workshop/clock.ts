import { printInstant } from '../quantity/time.ts';
import type { Workplace } from './place.ts';

/** Wall time and monotonic time may drift apart by so much within a run before rules on time refuse; ms. */
const mostDrift = 60_000;

/** What time it is, and whether the wall clock can be believed. */
export interface RunClock {
  /** RFC 3339, whole seconds. */
  readonly at: () => string;
  readonly ms: () => number;
  /** Why it cannot, or `undefined`. */
  readonly trouble: () => string | undefined;
  /** The true time was entered: from here on the two clocks are compared anew. */
  readonly settle: () => void;
}

export const runClock = ({ wall, monotonic, offset }: Workplace): RunClock => {
  let apart = wall() - monotonic();
  const ms = (): number => Math.floor(wall() / 1000) * 1000;
  return {
    ms,
    at: () => printInstant(ms(), offset(ms())),
    trouble: () =>
      Math.abs(wall() - monotonic() - apart) > mostDrift ? 'the clock was set while dryfit was open' : undefined,
    settle: () => {
      apart = wall() - monotonic();
    },
  };
};
