import type { Scale } from '../../quantity/ticks.ts';

/** What a person says about a log where the file does not. */
export interface LogWords {
  /** The column of the temperature, by name or by number from 1. */
  readonly column?: string;
  /** The column of the minima, in the same way. */
  readonly minimum?: string;
  readonly unit?: Scale;
  readonly dates?: 'day-first' | 'month-first';
}

/** Rows of a logger by time; of one instant, the colder first. No row is repeated. */
export interface LogRows {
  /** Milliseconds since 1970. */
  readonly ms: Float64Array;
  /** Temperatures in ninths of a nanokelvin; see `quantity/ticks.ts`. */
  readonly ticks: Float64Array;
  /** The lowest since the row before, in the same ticks; NaN in a row without one. Absent where the file has no column of minima. */
  readonly lowest?: Float64Array;
  readonly scale: Scale;
}

/** A logger's file, read. */
export interface Log extends LogRows {
  /** True where the file gives no offset anywhere. `ms` is then what it would be if the logger's clock had shown UTC. */
  readonly isLocal: boolean;
  /** Line number of the latest row, from 1. */
  readonly lastLine: number;
  /** How the file was read, for the journal. The words never change, because written entries use them. */
  readonly read: Readonly<Record<string, string>>;
  /** How the file was read, for a person, one short phrase each. */
  readonly said: readonly string[];
}

/** The rows with their true times, where the logger's clock was set to an offset. @param offset minutes east of UTC. */
export const rowsAt = (log: Log, offset: number): LogRows =>
  log.isLocal && offset !== 0 ? { ...log, ms: log.ms.map((ms) => ms - offset * 60_000) } : log;

/** The first number of a column and then the differences, which are shorter as text. */
const deltas = (column: Float64Array): readonly number[] =>
  Array.from(column, (value, row) => value - (column[row - 1] ?? 0));

const summed = (steps: readonly number[]): Float64Array => {
  let sum = 0;
  return Float64Array.from(steps, (step) => (sum += step));
};

/** Rows as one line of text. The program keeps them in its snapshot between two runs. */
export const rowsText = ({ ms, ticks, lowest, scale }: LogRows): string =>
  JSON.stringify({
    scale,
    ms: deltas(ms),
    ticks: deltas(ticks),
    ...(lowest ? { lowest: Array.from(lowest, (low) => (Number.isNaN(low) ? null : low)) } : {}),
  });

export const rowsIn = (text: string): LogRows => {
  const read = JSON.parse(text) as { scale: Scale; ms: number[]; ticks: number[]; lowest?: (number | null)[] };
  const { scale, ms, ticks, lowest } = read;
  return {
    scale,
    ms: summed(ms),
    ticks: summed(ticks),
    ...(lowest ? { lowest: Float64Array.from(lowest, (low) => low ?? NaN) } : {}),
  };
};
