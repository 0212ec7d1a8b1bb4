import { err, ok, refusal, type Outcome } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { AskedOf } from '../../job/entry.ts';
import { rowsAt, type Log, type LogWords } from '../../job/logger/log.ts';
import { aheadRefusal } from '../../job/refusals/when.ts';
import type { LogMark } from '../../job/surroundings.ts';
import type { Scale } from '../../quantity/ticks.ts';
import { parseInstant, parseOffset, printInstant, printOffset, type Instant } from '../../quantity/time.ts';
import { clockTroubleAt } from '../clock.ts';
import type { Library } from '../library.ts';
import { withValue, type BuildState } from '../state.ts';
import { taken, type BuildAct } from './act.ts';
import { correctedLog } from './correct-temperature.ts';

type Import = AskedOf<'temperatures'>;

const scales: Readonly<Record<NonNullable<Import['unit']>, Scale>> = { C: '°C', F: '°F', K: 'K' };

const wordsIn = ({ column, minimum, unit, dates }: Import): LogWords => ({
  ...(column === undefined ? {} : { column }),
  ...(minimum === undefined ? {} : { minimum }),
  ...(unit === undefined ? {} : { unit: scales[unit] }),
  ...(dates === undefined ? {} : { dates }),
});

/** The logger's file that an import names, read. */
export const logOf = (data: Import, library: Library): Outcome<Log> =>
  library.log({ sha256: data['file-sha256'], file: data.file }, wordsIn(data));

/**
 * The time zone of the logger's clock, in minutes east of UTC, for a file that does not give one: as the person says, else that of the
 * entry's own time.
 */
const offsetOf = ({ offset }: Import, at: Instant): Outcome<number> =>
  offset === undefined ? ok(at.offset) : parseOffset(offset);

/** The first and the last instant of some rows, ms since 1970. */
const spanOf = ({ ms }: { readonly ms: Float64Array }): readonly [first: number, last: number] => [
  ms[0] ?? 0,
  ms.at(-1) ?? 0,
];

const sameFile = (state: BuildState, place: string, sha256: string): LogMark | undefined =>
  own(state.logs, place)?.find((mark) => mark.sha256 === sha256 && mark.struck === undefined);

/** Imports a logger's file: every row of the file, or none where one row is refused. */
export const temperaturesAct: BuildAct<'temperatures'> = {
  decide: (ask) => {
    const { state, command, data, library } = ask;
    const at = parseInstant(command.at);
    if (!at.ok) return at;
    const trouble = clockTroubleAt(state, at.value.ms, command.writer);
    if (trouble !== undefined)
      return err(
        refusal('clock', `${trouble}: which rows have come yet cannot be told`, 'enter the true time (clock)'),
      );
    const log = logOf(data, library);
    if (!log.ok) return log;
    const offset = offsetOf(data, at.value);
    if (!offset.ok) return offset;
    const rows = rowsAt(log.value, offset.value);
    const [first, last] = spanOf(rows);
    const shown = (ms: number): string => printInstant(ms, log.value.isLocal ? offset.value : at.value.offset);
    const ahead = aheadRefusal(last, at.value);
    if (ahead)
      return err({
        ...ahead,
        what: `the row of ${shown(last)} has not come yet: the logger's clock, or the offset, is wrong`,
        todo: `say how its clock stood (offset=${printOffset(offset.value)}), or mend the file; nothing was imported`,
        where: `${data.file}:${log.value.lastLine}`,
      });
    const count = rows.ms.length;
    const stood = printOffset(offset.value);
    const read = { ...log.value.read, ...(log.value.isLocal ? { offset: stood } : {}) };
    const known = sameFile(state, data.place ?? '', data['file-sha256']);
    return taken(ask, { rows: count, first: shown(first), last: shown(last), read }, [
      `${count} ${count === 1 ? 'row' : 'rows'}, ${shown(first)} to ${shown(last)}`,
      ...log.value.said,
      ...(log.value.isLocal ? [`times without an offset taken at ${stood}`] : []),
      ...(known ? [`the same file was imported as ${known.entry}; its rows count once`] : []),
    ]);
  },
  evolve: (state, entry, { library }) => {
    const log = logOf(entry.data, library);
    const at = parseInstant(entry.at);
    if (!log.ok) return log;
    if (!at.ok) return at;
    const offset = offsetOf(entry.data, at.value);
    const rows = rowsAt(log.value, offset.ok ? offset.value : 0);
    const [first, last] = spanOf(rows);
    const place = entry.data.place ?? '';
    const mark: LogMark = {
      entry: entry.id,
      n: Object.values(state.logs).flat().length + 1,
      file: entry.data.file,
      sha256: entry.data['file-sha256'],
      count: rows.ms.length,
      first,
      last,
      rows: () => rows,
    };
    return ok({ ...state, logs: withValue(state.logs, place, [...(own(state.logs, place) ?? []), mark]) });
  },
  words: () => 'the log is kept',
  correct: correctedLog,
};
