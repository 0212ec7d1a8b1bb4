import { printInstant } from '../quantity/time.ts';
import type { Workplace } from './place.ts';

/** In ms: how far wall time and monotonic time may drift apart in one run before rules on time refuse. */
const mostDrift = 60_000;

/** What time it is, and whether the wall clock can be believed. */
export interface RunClock {
  /** The time now, in RFC 3339 to the second. */
  readonly at: () => string;
  /** The time now to the second, in ms since 1970. */
  readonly ms: () => number;
  /** Why the wall clock cannot be believed, or `undefined`. */
  readonly trouble: () => string | undefined;
  /** Called when the true time was entered: from then on the two clocks are compared anew. */
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
