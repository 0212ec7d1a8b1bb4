import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { EntryOf, TakenOf } from '../../job/entry.ts';
import type { LogMark, TemperatureMark } from '../../job/surroundings.ts';
import { temperatureOf } from '../../job/temperatures.ts';
import { temperatureFault } from '../../job/thermometer.ts';
import type { BuildState } from '../state.ts';
import { taken, type BuildAsk } from './act.ts';

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

/** True where the entry is a typed temperature or an import of temperatures. */
export const isTemperatureEntry = (state: BuildState, name: string): boolean =>
  logNamed(state, name) !== undefined ||
  Object.values(state.temperatures).some((marks) => marks.some((mark) => mark.entry === name));

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

/** A corrected reading is one value. The entry's `lowest` keeps its own value, because it describes the interval before the reading. */
const readingFault = ({ value }: Correction): Fault | undefined =>
  typeof value === 'string'
    ? temperatureFault(value, undefined)
    : usage('value-unreadable', 'a temperature is one value', 'give value=… with its unit');

/** Says so where the same file still counts, because it was imported more than once. */
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

/**
 * A corrected reading keeps its `lowest` unless the new reading is colder; then `lowest` is dropped, and the interval counts at its colder
 * end.
 */
const corrected = (mark: TemperatureMark, value: string): TemperatureMark => {
  const { lowest, since, ...kept } = mark;
  const [now, low] = [temperatureOf(value), lowest === undefined ? undefined : temperatureOf(lowest)];
  const keeps = lowest !== undefined && now && low && low.base.compare(now.base) <= 0;
  return { ...kept, temperature: value, ...(keeps ? { lowest, ...(since === undefined ? {} : { since }) } : {}) };
};

/**
 * The lists of all places, with one mark changed. Places without that mark keep the same list object, so that what was worked out from it
 * stays valid.
 */
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

/**
 * The build with another value for the typed temperatures of an entry: of the air, of the surface of the work, or of both where `surface`
 * is absent.
 */
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
