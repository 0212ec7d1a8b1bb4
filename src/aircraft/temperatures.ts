import { own } from '../fault/own.ts';
import { err, ok, refusal, usage, type Fault, type Outcome } from '../fault/fault.ts';
import type { LogMark, TemperatureMark } from '../job/surroundings.ts';
import { msOf } from '../job/cure.ts';
import { temperatureFault } from '../job/decide/keeping.ts';
import { happened, textOf, type Command, type Data, type Entry, type Taken } from '../job/entry.ts';
import { rowsAt, type Log, type LogWords } from '../job/logger/log.ts';
import { temperatureOf } from '../job/temperatures.ts';
import { currentStep } from '../job/where.ts';
import type { Scale } from '../quantity/ticks.ts';
import { parseInstant, parseOffset, printInstant, printOffset, type Instant } from '../quantity/time.ts';
import { clockTroubleAt } from './clock.ts';
import type { Library } from './library.ts';
import { jobOf, withValue, type BuildState } from './state.ts';

/*
 * Temperatures of places: typed one by one, or imported from a logger's file. They belong to the build, whatever job they are
 * sent from.
 */

/** Marks stay in order of time; at one instant in the order of entry. */
const withMark = (state: BuildState, place: string, mark: TemperatureMark): BuildState => {
  const marks = own(state.temperatures, place) ?? [];
  const index = marks.findLastIndex((one) => one.ms <= mark.ms) + 1;
  return { ...state, temperatures: withValue(state.temperatures, place, marks.toSpliced(index, 0, mark)) };
};

const markOf = (state: BuildState, entry: Entry, temperature: string, surface: boolean): TemperatureMark => {
  const lowest = surface ? undefined : textOf(entry.data, 'lowest');
  return {
    entry: entry.id,
    ms: msOf(happened(entry)),
    temperature,
    surface,
    doubtful: entry.doubtful === true,
    ...(entry.when === undefined ? { run: state.clockRun } : {}),
    ...(lowest === undefined ? {} : { lowest }),
  };
};

export const evolveTemperature = (state: BuildState, entry: Entry): BuildState => {
  const mark = markOf(state, entry, textOf(entry.data, 'temperature') ?? '', false);
  return withMark(state, textOf(entry.data, 'place') ?? '', mark);
};

/** Temperatures typed with a mix, or with the shop's conditions, are known temperatures of the open step's place. */
export const withTypedTemperatures = (state: BuildState, entry: Entry): BuildState => {
  if (entry.type !== 'mix' && entry.type !== 'shop') return state;
  const job = jobOf(state, entry.job);
  const step =
    entry.type === 'mix'
      ? job?.plan.steps.find((one) => one.step === textOf(entry.data, 'step'))
      : job && currentStep(job);
  const [air, surface] = [textOf(entry.data, 'temperature'), textOf(entry.data, 'surface')];
  const place = step?.place ?? '';
  const warmed = air === undefined ? state : withMark(state, place, markOf(state, entry, air, false));
  return surface === undefined ? warmed : withMark(warmed, place, markOf(state, entry, surface, true));
};

export const decideTemperature = (command: Command, data: Data): Outcome<Taken> => {
  const fault = temperatureFault(textOf(data, 'temperature'), textOf(data, 'lowest'));
  return fault ? err(fault) : ok({ type: command.verb, data, also: [], told: [] });
};

const scaleNamed: Readonly<Record<string, Scale>> = { C: '°C', F: '°F', K: 'K' };

const wordsIn = (data: Data): LogWords => {
  const [column, unit, dates] = [textOf(data, 'column'), textOf(data, 'unit'), textOf(data, 'dates')];
  return {
    ...(column === undefined ? {} : { column }),
    ...(unit === undefined ? {} : { unit: own(scaleNamed, unit) ?? '°C' }),
    ...(dates === undefined ? {} : { dates: dates === 'month-first' ? dates : 'day-first' }),
  };
};

/** The file that an import names. */
export const logOf = (data: Data, library: Library): Outcome<Log> => {
  const [sha256, file] = [textOf(data, 'file-sha256') ?? '', textOf(data, 'file') ?? ''];
  return library.log({ sha256, file }, wordsIn(data));
};

/** How the logger's clock stood, where its file does not say: as the person says, else as the clock of the entry. Minutes east. */
const offsetOf = (data: Data, at: Instant): Outcome<number> => {
  const said = textOf(data, 'offset');
  return said === undefined ? ok(at.offset) : parseOffset(said);
};

/** The first and last instant of rows, ms. */
const spanOf = ({ ms }: { readonly ms: Float64Array }): readonly [first: number, last: number] => [
  ms[0] ?? 0,
  ms.at(-1) ?? 0,
];

const sameFile = (state: BuildState, place: string, sha256: string | undefined): LogMark | undefined =>
  own(state.logs, place)?.find((mark) => mark.sha256 === sha256 && mark.struck === undefined);

/** An import: every row of the file, or none of it. */
export const decideTemperatures = (
  state: BuildState,
  command: Command,
  data: Data,
  library: Library,
): Outcome<Taken> => {
  const at = parseInstant(command.at);
  if (!at.ok) return at;
  const trouble = clockTroubleAt(state, at.value.ms, command.writer);
  if (trouble !== undefined)
    return err(refusal('clock', `${trouble}: which rows have come yet cannot be told`, 'enter the true time (clock)'));
  const log = logOf(data, library);
  if (!log.ok) return log;
  const offset = offsetOf(data, at.value);
  if (!offset.ok) return offset;
  const rows = rowsAt(log.value, offset.value);
  const [first, last] = spanOf(rows);
  const shown = (ms: number): string => printInstant(ms, log.value.isLocal ? offset.value : at.value.offset);
  if (last > at.value.ms)
    return err(
      usage(
        'log-ahead',
        `the row of ${shown(last)} has not come yet: the logger's clock, or the offset, is wrong`,
        `say how its clock stood (offset=${printOffset(offset.value)}), or mend the file; nothing was imported`,
        `${textOf(data, 'file') ?? ''}:${log.value.lastLine}`,
      ),
    );
  const count = rows.ms.length;
  const stood = printOffset(offset.value);
  const read = { ...log.value.read, ...(log.value.isLocal ? { offset: stood } : {}) };
  const known = sameFile(state, textOf(data, 'place') ?? '', textOf(data, 'file-sha256'));
  return ok({
    type: command.verb,
    data: { ...data, rows: count, first: shown(first), last: shown(last), read },
    also: [],
    told: [
      `${count} ${count === 1 ? 'row' : 'rows'}, ${shown(first)} to ${shown(last)}`,
      ...log.value.said,
      ...(log.value.isLocal ? [`times without an offset taken at ${stood}`] : []),
      ...(known ? [`the same file was imported as ${known.entry}; its rows count once`] : []),
    ],
  });
};

export const evolveTemperatures = (state: BuildState, entry: Entry, library: Library): Outcome<BuildState> => {
  const log = logOf(entry.data, library);
  const at = parseInstant(entry.at);
  if (!log.ok) return log;
  if (!at.ok) return at;
  const offset = offsetOf(entry.data, at.value);
  const rows = rowsAt(log.value, offset.ok ? offset.value : 0);
  const [first, last] = spanOf(rows);
  const place = textOf(entry.data, 'place') ?? '';
  const mark: LogMark = {
    entry: entry.id,
    n: Object.values(state.logs).flat().length + 1,
    file: textOf(entry.data, 'file') ?? '',
    sha256: textOf(entry.data, 'file-sha256') ?? '',
    count: rows.ms.length,
    first,
    last,
    rows: () => rows,
  };
  return ok({ ...state, logs: withValue(state.logs, place, [...(own(state.logs, place) ?? []), mark]) });
};

/** An import by its entry, or the last one of a file that still counts by the file's name. */
const logNamed = (state: BuildState, data: Data): LogMark | undefined => {
  const name = textOf(data, 'entry');
  // one place after the other: the order of the imports is their number
  const all = Object.values(state.logs)
    .flat()
    .toSorted((one, other) => one.n - other.n);
  return (
    all.find((mark) => mark.entry === name) ?? all.findLast((mark) => mark.file === name && mark.struck === undefined)
  );
};

/** A correction of a temperature, or of an import, belongs to the build, whatever job it is sent from. */
export const correctsWarmth = (state: BuildState, data: Data): boolean =>
  logNamed(state, data) !== undefined ||
  Object.values(state.temperatures).some((marks) => marks.some((mark) => mark.entry === textOf(data, 'entry')));

/** An import is struck whole: what stands in a file is not typed over. */
const strikeFault = (mark: LogMark, data: Data): Fault | undefined => {
  if (mark.struck) return usage('value-unreadable', `${mark.entry} is struck already`, 'import the right file');
  return textOf(data, 'value') === 'none'
    ? undefined
    : usage(
        'value-unreadable',
        `${mark.entry} is an import of ${mark.count} rows`,
        'strike it whole (value=none), then import the right file',
      );
};

/** The same file may count on by another import of it. */
const againTold = (state: BuildState, struck: LogMark): readonly string[] => {
  const place = Object.entries(state.logs).find(([, marks]) => marks.includes(struck))?.[0] ?? '';
  return (own(state.logs, place) ?? [])
    .filter((mark) => mark !== struck && mark.sha256 === struck.sha256 && mark.struck === undefined)
    .map((mark) => `the same file was imported as ${mark.entry} too, and counts on: strike that as well`);
};

export const decideCorrectWarmth = (state: BuildState, command: Command, data: Data): Outcome<Taken> => {
  const log = logNamed(state, data);
  const fault = log ? strikeFault(log, data) : temperatureFault(textOf(data, 'value'), undefined);
  const told = log ? [`${log.count} rows of ${log.file} count for nothing`, ...againTold(state, log)] : [];
  const right = log ? { ...data, entry: log.entry } : data;
  return fault ? err(fault) : ok({ type: command.verb, data: right, also: [], told });
};

/** A corrected reading keeps its `lowest` unless it now lies above the reading: then the interval counts at its colder end. */
const corrected = (mark: TemperatureMark, value: string): TemperatureMark => {
  const { lowest, ...kept } = mark;
  const [now, low] = [temperatureOf(value), lowest === undefined ? undefined : temperatureOf(lowest)];
  const keeps = lowest !== undefined && now && low && low.base.compare(now.base) <= 0;
  return { ...kept, temperature: value, ...(keeps ? { lowest } : {}) };
};

/** Each place's list with one mark changed; the other places keep theirs. */
const changed = <T extends { readonly entry: string }>(
  places: Readonly<Record<string, readonly T[]>>,
  entry: string | undefined,
  change: (mark: T) => T,
): Readonly<Record<string, readonly T[]>> =>
  Object.fromEntries(
    Object.entries(places).map(([place, marks]) => [
      place,
      marks.some((mark) => mark.entry === entry)
        ? marks.map((mark) => (mark.entry === entry ? change(mark) : mark))
        : marks,
    ]),
  );

export const evolveCorrectWarmth = (state: BuildState, entry: Entry): BuildState => {
  const [target, value] = [textOf(entry.data, 'entry'), textOf(entry.data, 'value')];
  const reason = textOf(entry.data, 'reason') ?? '';
  if (value === undefined) return state;
  return {
    ...state,
    temperatures: changed(state.temperatures, target, (mark) => corrected(mark, value)),
    logs: changed(state.logs, target, (mark) => ({ ...mark, struck: { entry: entry.id, reason } })),
  };
};
