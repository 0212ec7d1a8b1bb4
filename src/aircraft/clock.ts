import { usage, type Fault } from '../fault/fault.ts';
import { own } from '../fault/own.ts';
import { msOf } from '../job/cure.ts';
import { writerOfEntry, type Entry } from '../job/entry.ts';
import { stampOf } from '../job/draft.ts';
import { clockDoubt } from '../job/line-types.ts';
import { parseInstant } from '../quantity/time.ts';
import type { BuildState } from './state.ts';

/*
 * Whether a stamp can be believed. Trouble begins with a line that stands before its own writer's last one, or that says of itself that
 * the clock had been set; it ends when a person enters the true time.
 */

/**
 * Why rules on time refuse at an instant, ms.
 * @param writer who will write: their clock is held against their own last line; without one, against the last of all.
 */
export const clockTroubleAt = (state: BuildState, at: number, writer: string | undefined): string | undefined => {
  if (state.clockTrouble) return state.clockTrouble.why;
  const last = writer === undefined ? state.lastAt : (own(state.written, writer) ?? 0);
  return at < last ? 'the clock stands before the last entry' : undefined;
};

const wasSet = (entry: Entry): boolean => entry.data[clockDoubt] === true;

/** Written before its own writer's last line. */
const wentBack = (state: BuildState, entry: Entry): boolean =>
  msOf(entry.at) < (own(state.written, writerOfEntry(entry)) ?? 0);

const isInTrouble = (state: BuildState, entry: Entry): boolean =>
  state.clockTrouble !== undefined || wasSet(entry) || wentBack(state, entry);

/** The entry, marked where its stamp is in doubt and no other time was said. */
export const withDoubt = (state: BuildState, entry: Entry): Entry =>
  entry.when === undefined && isInTrouble(state, entry) ? { ...entry, doubtful: true } : entry;

/** The build after an entry that is not the true time: trouble begins with it, or goes on. */
export const withTrouble = (before: BuildState, after: BuildState, entry: Entry): BuildState => {
  if (entry.type === 'clock' || after.clockTrouble !== undefined) return after;
  const why = wasSet(entry)
    ? `the clock was set before entry ${entry.id}`
    : wentBack(before, entry)
      ? `the clock went back before entry ${entry.id}`
      : undefined;
  return why === undefined ? after : { ...after, clockTrouble: { ...stampOf(entry), why } };
};

/** What a person takes to read a clock to the minute and type it, ms. */
const mostApart = 120_000;

/** The true time must be the clock's own by now: a clock that goes on being wrong would go on writing wrong stamps. */
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

/** The true time is entered: rules on time trust the clock again from here on. Without trouble it changes nothing. */
export const evolveClock = (state: BuildState, entry: Entry): BuildState => {
  if (!isInTrouble(state, entry)) return state;
  const { clockTrouble: _ended, ...rest } = state;
  return { ...rest, clockRun: state.clockRun + 1, clockSince: msOf(entry.at) };
};
