import { escapeText } from '../../fault/escape.ts';
import { type Message, mostMessages } from '../message.ts';
import { lineOf, messageFor, type Source } from './source.ts';

/**
 * Characters that steer a terminal, reorder or hide text, or break lines in a way YAML does not.
 * Line feed and CR LF end lines and are allowed; the tab has its own message, since people type it.
 */
const steering =
  // eslint-disable-next-line no-control-regex -- finding control characters is this file's purpose
  /\r(?!\n)|[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]|\p{Cs}/gu;

/** The same for text that a quoted scalar writes with escapes (`"\e[2J"`), where a line feed is text. */
export const firstSteering = (text: string): string | undefined => {
  steering.lastIndex = 0;
  const found = steering.exec(text)?.[0] ?? (text.includes('\t') ? '\t' : undefined);
  return found === undefined ? undefined : escapeText(found);
};

/** One message a line, so that a line of nothing else costs no more than one. */
const controls = (source: Source): Message[] => {
  const messages: Message[] = [];
  steering.lastIndex = source.text.startsWith('\ufeff') ? 1 : 0;
  for (let found = steering.exec(source.text); found !== null; found = steering.exec(source.text)) {
    if (messages.length > mostMessages) break;
    const what = `the character ${escapeText(found[0])} steers terminals or hides text`;
    messages.push(messageFor(source, found.index, 'control-character', what, 'take it out'));
    const next = source.lines[lineOf(source, found.index) + 1];
    if (next === undefined) break;
    steering.lastIndex = next;
  }
  return messages;
};

const tabs = (source: Source): Message[] => {
  const { text } = source;
  const first = text.indexOf('\t');
  if (first === -1) return [];
  let lines = 0;
  for (let at = first; at !== -1; lines += 1) {
    const next = source.lines[lineOf(source, at) + 1];
    at = next === undefined ? -1 : text.indexOf('\t', next);
  }
  const more = lines > 1 ? ` (and on ${lines - 1} more ${lines === 2 ? 'line' : 'lines'})` : '';
  return [messageFor(source, first, 'tab', `a tab stands here${more}`, 'write spaces instead')];
};

const mark = (source: Source): Message[] =>
  source.text.startsWith('\ufeff')
    ? [messageFor(source, 0, 'byte-order-mark', 'the file begins with a byte order mark', 'save it as plain UTF-8')]
    : [];

/** The characters of a file that are not allowed. At most one message of each kind a line. */
export const characterMessages = (source: Source): Message[] => [...mark(source), ...controls(source), ...tabs(source)];
