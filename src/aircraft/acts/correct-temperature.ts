import { err, usage, type Fault } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import type { LogMark, TemperatureMark } from '../../job/surroundings.ts';
import { temperatureOf } from '../../job/temperatures.ts';
import { temperatureFault } from '../../job/thermometer.ts';
import { printInstant } from '../../quantity/time.ts';
import { withMark, withoutMarks } from '../marks.ts';
import type { BuildState } from '../state.ts';
import { taken, type BuildAsk, type BuildCorrectable } from './act.ts';
import { correctsInBuild, type Standing } from './correct-in-build.ts';

/*
 * Corrects a temperature, or an import of temperatures. Both belong to the build, so any job may send the correction.
 */

/** The import with this entry; for a file name, the last import of that file which has not been struck. */
const logNamed = (state: BuildState, name: string): LogMark | undefined => {
  // The imports of all places in one list, in the order in which they were numbered.
  const all = Object.values(state.logs)
    .flat()
    .toSorted((one, other) => one.n - other.n);
  return (
    all.find((mark) => mark.entry === name) ?? all.findLast((mark) => mark.file === name && mark.struck === undefined)
  );
};

type Correction = BuildAsk<'correct'>['data'];

/** An import can only be struck as a whole: nobody may type other values over the rows of a file. */
const strikeFault = (mark: LogMark, { value }: Correction): Fault | undefined => {
  if (mark.struck) return usage('value-unreadable', `${mark.entry} is struck already`, 'import the right file');
  return value === 'none'
    ? undefined
    : usage(
        'value-unreadable',
        `${mark.entry} is an import of ${mark.count} rows`,
        'strike it whole (value=none), then import the right file',
      );
};

/** Says so where the same file still counts, because it was imported more than once. */
const againTold = (state: BuildState, struck: LogMark): readonly string[] => {
  const place = Object.entries(state.logs).find(([, marks]) => marks.includes(struck))?.[0] ?? '';
  return (own(state.logs, place) ?? [])
    .filter((mark) => mark !== struck && mark.sha256 === struck.sha256 && mark.struck === undefined)
    .map((mark) => `the same file was imported as ${mark.entry} too, and counts on: strike that as well`);
};

/** Places without the struck import keep the same list object, so that what was worked out from it stays valid. */
const withStruckLog = (logs: BuildState['logs'], target: string, struck: LogMark['struck']): BuildState['logs'] =>
  Object.fromEntries(
    Object.entries(logs).map(([place, marks]) => [
      place,
      marks.some(({ entry }) => entry === target)
        ? marks.map((mark) => (mark.entry === target ? { ...mark, ...(struck ? { struck } : {}) } : mark))
        : marks,
    ]),
  );

export const correctedLog: BuildCorrectable = {
  has: (state, target) => logNamed(state, target) !== undefined,
  decide: (ask) => {
    const { state, data } = ask;
    const log = logNamed(state, data.entry);
    const fault = log && strikeFault(log, data);
    if (!log || fault) return fault ? err(fault) : taken(ask, {});
    return taken(ask, { entry: log.entry }, [
      `${log.count} rows of ${log.file} count for nothing`,
      ...againTold(state, log),
    ]);
  },
  evolve: (state, entry) =>
    typeof entry.data.value === 'string'
      ? {
          ...state,
          logs: withStruckLog(state.logs, entry.data.entry, { entry: entry.id, reason: entry.data.reason }),
        }
      : state,
};

const markNamed = (
  state: BuildState,
  target: string,
): { readonly place: string; readonly mark: TemperatureMark } | undefined => {
  for (const [place, marks] of Object.entries(state.temperatures)) {
    const mark = marks.find((one) => one.entry === target);
    if (mark) return { place, mark };
  }
  return undefined;
};

const standingOf = (state: BuildState, target: string): Standing | undefined => {
  const found = markNamed(state, target);
  if (!found) return undefined;
  const { place, mark } = found;
  const { entry, at, by, ms, temperature, lowest, since } = mark;
  return {
    entry,
    at,
    by,
    when: printInstant(ms, 0),
    about: place,
    said: {
      temperature,
      ...(lowest === undefined ? {} : { lowest }),
      ...(since === undefined ? {} : { since: printInstant(since, 0) }),
      ...(place === '' ? {} : { place }),
    },
  };
};

/**
 * A corrected reading keeps its `lowest` unless the new reading is colder; then `lowest` is dropped, and the interval counts at its colder
 * end.
 */
const lowestNow = (said: Standing['said'], now: Standing['said']): string | undefined => {
  const lowest = now['lowest'] as string | undefined;
  if (lowest === undefined || lowest !== said['lowest']) return lowest;
  const [read, low] = [temperatureOf(String(now['temperature'])), temperatureOf(lowest)];
  return read && low && low.base.compare(read.base) <= 0 ? lowest : undefined;
};

const withRun = (run: number | undefined): Partial<TemperatureMark> => (run === undefined ? {} : { run });

/** A temperature of a place, typed by hand. */
export const correctedTemperature = correctsInBuild({
  verb: 'temperature',
  fields: ['temperature', 'lowest', 'since', 'place'],
  bare: 'temperature',
  find: standingOf,
  fault: (_state, now, was) => {
    const lowest = lowestNow(was, now);
    if (lowest !== undefined && now['since'] === undefined)
      return usage('field-missing', `lowest ${lowest} wants from when it counts`, 'give value.since too');
    return temperatureFault(String(now['temperature']), lowest);
  },
  put: (state, { entry, said }, now, when) => {
    const found = markNamed(state, entry);
    if (!found) return state;
    const { lowest: _lowest, since: _since, run, ...mark } = found.mark;
    const lowest = lowestNow(said, now);
    const timed = when === undefined ? withRun(run) : { ms: msOf(when), doubtful: false };
    const right: TemperatureMark = {
      ...mark,
      ...timed,
      temperature: String(now['temperature']),
      ...(lowest === undefined ? {} : { lowest, since: msOf(String(now['since'])) }),
    };
    return withMark(withoutMarks(state, entry), typeof now['place'] === 'string' ? now['place'] : '', right);
  },
});
