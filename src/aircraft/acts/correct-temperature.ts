import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { EntryOf, TakenOf } from '../../job/entry.ts';
import type { LogMark, TemperatureMark } from '../../job/surroundings.ts';
import { temperatureOf } from '../../job/temperatures.ts';
import { temperatureFault } from '../../job/thermometer.ts';
import type { BuildState } from '../state.ts';
import { taken, type BuildAsk } from './act.ts';

/*
 * A correction of a temperature, or of an import, belongs to the build, whatever job it is sent from.
 */

/** An import by its entry, or the last one of a file that still counts by the file's name. */
const logNamed = (state: BuildState, name: string): LogMark | undefined => {
  // The imports of all places in one list: their number is their order.
  const all = Object.values(state.logs)
    .flat()
    .toSorted((one, other) => one.n - other.n);
  return (
    all.find((mark) => mark.entry === name) ?? all.findLast((mark) => mark.file === name && mark.struck === undefined)
  );
};

/** True where an entry is a temperature or an import of the build. */
export const isTemperatureEntry = (state: BuildState, name: string): boolean =>
  logNamed(state, name) !== undefined ||
  Object.values(state.temperatures).some((marks) => marks.some((mark) => mark.entry === name));

type Correction = BuildAsk<'correct'>['data'];

/** An import is struck whole: nobody types over the rows of a file. */
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

/** A reading is one value; the interval that its `lowest` speaks of keeps its coldest. */
const readingFault = ({ value }: Correction): Fault | undefined =>
  typeof value === 'string'
    ? temperatureFault(value, undefined)
    : usage('value-unreadable', 'a temperature is one value', 'give value=… with its unit');

/** The same file may count on by another import of it. */
const againTold = (state: BuildState, struck: LogMark): readonly string[] => {
  const place = Object.entries(state.logs).find(([, marks]) => marks.includes(struck))?.[0] ?? '';
  return (own(state.logs, place) ?? [])
    .filter((mark) => mark !== struck && mark.sha256 === struck.sha256 && mark.struck === undefined)
    .map((mark) => `the same file was imported as ${mark.entry} too, and counts on: strike that as well`);
};

export const decideCorrectTemperature = (ask: BuildAsk<'correct'>): Outcome<TakenOf<'correct'>> => {
  const { state, data } = ask;
  const log = logNamed(state, data.entry);
  const fault = log ? strikeFault(log, data) : readingFault(data);
  if (fault) return err(fault);
  const told = log ? [`${log.count} rows of ${log.file} count for nothing`, ...againTold(state, log)] : [];
  return taken(ask, log ? { entry: log.entry } : {}, told);
};

/** A corrected reading keeps its `lowest` unless that is now above the reading: then the interval counts at its colder end. */
const corrected = (mark: TemperatureMark, value: string): TemperatureMark => {
  const { lowest, ...kept } = mark;
  const [now, low] = [temperatureOf(value), lowest === undefined ? undefined : temperatureOf(lowest)];
  const keeps = lowest !== undefined && now && low && low.base.compare(now.base) <= 0;
  return { ...kept, temperature: value, ...(keeps ? { lowest } : {}) };
};

/** Each place's list with one mark changed; the other places keep theirs. */
const changed = <T extends { readonly entry: string }>(
  places: Readonly<Record<string, readonly T[]>>,
  isMeant: (mark: T) => boolean,
  change: (mark: T) => T,
): Readonly<Record<string, readonly T[]>> =>
  Object.fromEntries(
    Object.entries(places).map(([place, marks]) => [
      place,
      marks.some(isMeant) ? marks.map((mark) => (isMeant(mark) ? change(mark) : mark)) : marks,
    ]),
  );

/** The typed temperatures of an entry with another value; of the air, of the work's surface, or of both where nothing is said. */
export const withCorrectedMark = (state: BuildState, entry: string, value: string, surface?: boolean): BuildState => ({
  ...state,
  temperatures: changed(
    state.temperatures,
    (mark) => mark.entry === entry && (surface === undefined || mark.surface === surface),
    (mark) => corrected(mark, value),
  ),
});

export const evolveCorrectTemperature = (state: BuildState, entry: EntryOf<'correct'>): Outcome<BuildState> => {
  const { entry: target, value, reason } = entry.data;
  if (typeof value !== 'string') return ok(state);
  return ok({
    ...withCorrectedMark(state, target, value),
    logs: changed(
      state.logs,
      (mark) => mark.entry === target,
      (mark) => ({ ...mark, struck: { entry: entry.id, reason } }),
    ),
  });
};
