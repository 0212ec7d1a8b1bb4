/** The clock that the terminal code waits by. It is passed in, so that a test can set it by hand. */
export interface Timers {
  /** In ms, by a clock that never goes back. */
  readonly now: () => number;
  /** Runs `act` once, no sooner than after `ms`. The function that it returns cancels it. */
  readonly after: (ms: number, act: () => void) => () => void;
}
