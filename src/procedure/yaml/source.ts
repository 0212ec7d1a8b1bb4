import { type Level, type Message, messageAt, type SourcePlace } from '../message.ts';
import type { MessageCode } from '../codes.ts';

/** A file's text, and what turns an offset into a line and a column. */
export interface Source {
  readonly file: string;
  readonly text: string;
  /** Offsets at which lines begin, ascending. */
  readonly lines: readonly number[];
}

const lineStarts = (text: string): number[] => {
  const starts = [0];
  for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
  return starts;
};

export const makeSource = (file: string, text: string): Source => ({ file, text, lines: lineStarts(text) });

/** The line, from 0, that holds an offset. */
export const lineOf = ({ lines }: Source, offset: number): number => {
  let low = 0;
  let high = lines.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (lines[middle]! <= offset) low = middle;
    else high = middle - 1;
  }
  return low;
};

export const sourcePlaceAt = (source: Source, offset: number): SourcePlace => {
  const within = Math.min(Math.max(offset, 0), source.text.length);
  const line = lineOf(source, within);
  return { line: line + 1, column: within - source.lines[line]! + 1 };
};

export const messageFor = (
  source: Source,
  offset: number,
  code: MessageCode,
  what: string,
  todo: string,
  level: Level = 'error',
): Message => messageAt(source.file, sourcePlaceAt(source, offset), code, what, todo, level);
