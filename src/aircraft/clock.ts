import { usage, type Fault } from '../fault/fault.ts';
import { own } from '../fault/own.ts';
import { msOf } from '../job/cure.ts';
import { writerOfEntry, type Entry } from '../job/entry.ts';
import { stampOf } from '../job/draft.ts';
import { clockDoubt } from '../job/line-types.ts';
import { parseInstant } from '../quantity/time.ts';
import type { BuildState } from './state.ts';

/*
 * Decides whether the time stamp of an entry can be believed. Doubt begins with a line stamped before its own writer's last line, or with a
 * line which says that the clock had been set. Doubt ends when a person enters the true time.
 */

/**
 * Why rules on time refuse now; `undefined` where they do not.
 * @param at the instant, ms since 1970.
 * @param writer who will write: their clock is compared with the time of their own last line; where it is absent, with the last line of all
 * writers.
 */
export const clockTroubleAt = (state: BuildState, at: number, writer: string | undefined): string | undefined => {
  if (state.clockTrouble) return state.clockTrouble.why;
  const last = writer === undefined ? state.lastAt : (own(state.written, writer) ?? 0);
  return at < last ? 'the clock stands before the last entry' : undefined;
};

const wasSet = (entry: Entry): boolean => entry.data[clockDoubt] === true;

/** True where a line is stamped before its own writer's last line. */
const wentBack = (state: BuildState, entry: Entry): boolean =>
  msOf(entry.at) < (own(state.written, writerOfEntry(entry)) ?? 0);

const isInTrouble = (state: BuildState, entry: Entry): boolean =>
  state.clockTrouble !== undefined || wasSet(entry) || wentBack(state, entry);

/** The entry, marked as doubtful where its stamp is in doubt and the person gave no other time. */
export const withDoubt = (state: BuildState, entry: Entry): Entry =>
  entry.when === undefined && isInTrouble(state, entry) ? { ...entry, doubtful: true } : entry;

/** The build after any entry but the true time: doubt begins with this entry, continues, or is absent. */
export const withTrouble = (before: BuildState, after: BuildState, entry: Entry): BuildState => {
  if (entry.type === 'clock' || after.clockTrouble !== undefined) return after;
  const why = wasSet(entry)
    ? `the clock was set before entry ${entry.id}`
    : wentBack(before, entry)
      ? `the clock went back before entry ${entry.id}`
      : undefined;
  return why === undefined ? after : { ...after, clockTrouble: { ...stampOf(entry), why } };
};

/** How long a person takes to read a clock to the minute and to type the time, ms. */
const mostApart = 120_000;

/** The time that a person enters must agree with the machine's clock. A clock that is still wrong would go on writing wrong stamps. */
export const clockFault = (text: string, at: string): Fault | undefined => {
  const time = parseInstant(text);
  if (!time.ok) return time.fault;
  return Math.abs(time.value.ms - msOf(at)) <= mostApart
    ? undefined
    : usage(
        'clock-differs',
        `the clock of this machine says ${at}, not ${time.value.text}`,
        'set the clock of the machine right, then enter the time',
      );
};

/**
 * A person enters the true time, and rules on time trust the clock again from this entry on. Where nothing was in doubt, the entry changes
 * nothing.
 */
export const evolveClock = (state: BuildState, entry: Entry): BuildState => {
  if (!isInTrouble(state, entry)) return state;
  const { clockTrouble: _ended, ...rest } = state;
  return { ...rest, clockRun: state.clockRun + 1, clockSince: msOf(entry.at) };
};
