/** The clock that the terminal waits by. Handed in, so that a test can turn it by hand. */
export interface Timers {
  /** Milliseconds of a clock that never goes back. */
  readonly now: () => number;
  /** Runs `act` once, not sooner than after `ms`; calling what it returns makes that never happen. */
  readonly after: (ms: number, act: () => void) => () => void;
}
