import { own } from '../fault/own.ts';
import type { BuildState } from './state.ts';

/**
 * Why rules on time refuse at an instant, ms.
 * @param writer who will write: their clock is held against their own last line; without one, against the last of all.
 */
export const clockTroubleAt = (state: BuildState, at: number, writer: string | undefined): string | undefined => {
  if (state.clockTrouble) return state.clockTrouble.why;
  const last = writer === undefined ? state.lastAt : (own(state.written, writer) ?? 0);
  return at < last ? 'the clock stands before the last entry' : undefined;
};
