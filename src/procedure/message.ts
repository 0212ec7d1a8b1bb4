import { escapeText } from '../fault/escape.ts';
import type { MessageCode } from './codes.ts';

/** What `check` says of a file. `what` and `todo` are one line each, with control characters escaped. */
export interface Message {
  readonly file: string;
  /** From 1. */
  readonly line: number;
  /** From 1, in UTF-16 code units, as editors count. */
  readonly column: number;
  readonly level: 'error' | 'warning';
  readonly code: MessageCode;
  readonly what: string;
  readonly todo: string;
}

export interface SourcePlace {
  readonly line: number;
  readonly column: number;
}

export type Level = Message['level'];

export const messageAt = (
  file: string,
  { line, column }: SourcePlace,
  code: MessageCode,
  what: string,
  todo: string,
  level: Level = 'error',
): Message => ({ file, line, column, level, code, what: escapeText(what), todo: escapeText(todo) });

/** A word or text from the file, quoted for a message and cut where it is long. */
export const shown = (text: string): string => {
  const line = text.replaceAll(/\s+/g, ' ').trim();
  return `"${line.length > 60 ? `${line.slice(0, 57)}…` : line}"`;
};

/** `a, b or c` */
export const listed = (words: readonly string[], last = 'or'): string =>
  words.length < 2 ? (words[0] ?? 'nothing') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;

const order = (a: Message, b: Message): number =>
  Number(a.file > b.file) - Number(a.file < b.file) ||
  a.line - b.line ||
  a.column - b.column ||
  Number(a.code > b.code) - Number(a.code < b.code) ||
  Number(a.what > b.what) - Number(a.what < b.what);

/** The most messages for one file. Nobody mends more faults at once, and it bounds the work on hostile files. */
export const mostMessages = 1000;

/** By file, then place, each message once. */
export const sortMessages = (messages: readonly Message[]): Message[] =>
  messages.toSorted(order).filter((message, index, all) => index === 0 || order(all[index - 1]!, message) !== 0);

export const hasErrors = (messages: readonly Message[]): boolean =>
  messages.some((message) => message.level === 'error');

/** `file:line:column: error code: what; what to do` */
export const printMessage = ({ file, line, column, level, code, what, todo }: Message): string =>
  `${escapeText(file)}:${line}:${column}: ${level} ${code}: ${what}; ${todo}`;

/** The first messages of a file and, where there were more, one that says so. */
export const bounded = (messages: readonly Message[]): readonly Message[] => {
  const last = messages[mostMessages - 1];
  if (messages.length <= mostMessages || last === undefined) return messages;
  const what = `there is more to say of this file than ${mostMessages} messages`;
  return [...messages.slice(0, mostMessages), messageAt(last.file, last, 'too-many', what, 'mend these first')];
};
