import type { Scale } from '../../quantity/ticks.ts';

/** What a person may have to say of a log, where the log does not. */
export interface LogWords {
  /** The temperature's column, by its name or its number from 1. */
  readonly column?: string;
  readonly unit?: Scale;
  readonly dates?: 'day-first' | 'month-first';
}

/** Rows of a logger by time; at one instant the colder first. No row stands twice. */
export interface LogRows {
  /** Milliseconds since 1970. */
  readonly ms: Float64Array;
  /** Ninths of a nanokelvin, see `quantity/ticks.ts`. */
  readonly ticks: Float64Array;
  readonly scale: Scale;
}

/** A logger's file, understood. */
export interface Log extends LogRows {
  /** No offset stands anywhere: `ms` is what it would be if the logger's clock had stood at UTC. */
  readonly isLocal: boolean;
  /** Line of the latest row. */
  readonly lastLine: number;
  /** How it was read: what stands in the journal, in words that never change. */
  readonly read: Readonly<Record<string, string>>;
  /** The same and more for a person, one short phrase each. */
  readonly said: readonly string[];
}

/** The rows where the logger's clock stood at an offset, minutes east. */
export const rowsAt = (log: Log, offset: number): LogRows =>
  log.isLocal && offset !== 0 ? { ...log, ms: log.ms.map((ms) => ms - offset * 60_000) } : log;

const deltas = (column: Float64Array): readonly number[] =>
  Array.from(column, (value, row) => value - (column[row - 1] ?? 0));

const summed = (steps: readonly number[]): Float64Array => {
  let sum = 0;
  return Float64Array.from(steps, (step) => (sum += step));
};

/** Rows as one line of text, and back: for what a program keeps for itself between two runs. */
export const rowsText = ({ ms, ticks, scale }: LogRows): string =>
  JSON.stringify({ scale, ms: deltas(ms), ticks: deltas(ticks) });

export const rowsIn = (text: string): LogRows => {
  const { scale, ms, ticks } = JSON.parse(text) as { scale: Scale; ms: number[]; ticks: number[] };
  return { scale, ms: summed(ms), ticks: summed(ticks) };
};
