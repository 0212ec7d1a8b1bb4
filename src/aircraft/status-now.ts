import { memoised } from '../fault/memo.ts';
import type { BuildState } from './state.ts';
import { statusLater } from './status-later.ts';
import { statusOf, type BuildStatus } from './status.ts';

/** The status at the last entry, worked out once for each state. */
const statusAtLast = memoised((state: BuildState) => statusOf(state, state.lastAt));

/**
 * `statusOf` for whoever asks many times a second, as a screen does: worked out once for a state, and adapted to the later instant.
 * @param at ms since 1970.
 */
export const statusNow = (state: BuildState, at: number): BuildStatus =>
  // Where the clock is behind the last entry, the status at that entry cannot be used.
  at < state.lastAt ? statusOf(state, at) : statusLater(statusAtLast(state), at);
