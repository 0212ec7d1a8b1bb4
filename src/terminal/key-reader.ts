import { StringDecoder } from 'node:string_decoder';
import type { Key } from './keys.ts';
import { char, keyOfControl, keyOfSequence, named } from './sequences.ts';
import type { Timers } from './timers.ts';

/** Input that is not a whole key yet. */
export interface Unread {
  /** The beginning of an escape sequence. */
  readonly pending: string;
  /** The text of a paste whose end has not arrived yet. */
  readonly paste: string | undefined;
  /** The last character was a carriage return. A line feed right after it belongs to it. */
  readonly returned: boolean;
}

export interface ReadKeys {
  readonly keys: readonly Key[];
  readonly unread: Unread;
}

export const nothingUnread: Unread = { pending: '', paste: undefined, returned: false };

const escape = '\u001b';
const pasteBegins = `${escape}[200~`;
const pasteEnds = `${escape}[201~`;
/** The oldest form of a mouse report: any three characters follow. */
const mouseBegins = `${escape}[M`;

// ECMA-48, section 5.4: CSI, parameters, intermediates, one final character. `CSI [ A` is the Linux console's own form, `SS3 5 P`
// is xterm's.
const whole = /^\u001b(?:\[\[[A-E]|\[[\u0030-\u003f]*[\u0020-\u002f]*[\u0040-\u005a\u005c-\u007e]|O\d?[A-Za-z])/;
const begun = /^\u001b(?:\[\[?|\[[\u0030-\u003f]*[\u0020-\u002f]*|O\d?)?$/;
const ordinary = /^[^\u0000-\u001f\u007f-\u009f]+/;

const graphemes = (text: string): string[] =>
  /^[ -~]*$/.test(text) ? text.split('') : Array.from(new Intl.Segmenter().segment(text), ({ segment }) => segment);

interface Taken {
  /** How much of the text it is, in UTF-16 code units. */
  readonly length: number;
  readonly keys: readonly Key[];
}

const taken = (length: number, ...keys: readonly (Key | undefined)[]): Taken => ({
  length,
  keys: keys.filter((key) => key !== undefined),
});

/** What is at the beginning of `text`; undefined where only more text can decide. */
const takeFirst = (text: string): Taken | undefined => {
  const run = ordinary.exec(text)?.[0];
  if (run !== undefined) return taken(run.length, ...graphemes(run).map(char));
  if (!text.startsWith(escape)) return taken(1, keyOfControl(text.charAt(0)));
  if (text.startsWith(mouseBegins)) return text.length < 6 ? undefined : taken(6);
  const sequence = whole.exec(text)?.[0];
  if (sequence !== undefined) return taken(sequence.length, keyOfSequence(sequence));
  return begun.test(text) ? undefined : taken(1, named('escape'));
};

const pasted = (text: string): Key => ({ kind: 'paste', text: text.replaceAll(/\r\n?/g, '\n') });

/** The keys in `text`, together with what was left over before it. */
export const readKeys = (before: Unread, text: string): ReadKeys => {
  const keys: Key[] = [];
  let { paste, returned } = before;
  let rest = before.pending + text;
  while (rest !== '' || paste !== undefined) {
    if (paste !== undefined) {
      const all: string = paste + rest;
      const end = all.indexOf(pasteEnds, Math.max(0, paste.length - pasteEnds.length));
      if (end === -1) return { keys, unread: { pending: '', paste: all, returned: false } };
      keys.push(pasted(all.slice(0, end)));
      rest = all.slice(end + pasteEnds.length);
      paste = undefined;
    } else if (rest.startsWith(pasteBegins)) {
      rest = rest.slice(pasteBegins.length);
      paste = '';
      returned = false;
    } else if (returned && rest.startsWith('\n')) {
      rest = rest.slice(1);
      returned = false;
    } else {
      const first = takeFirst(rest);
      if (first === undefined) break;
      keys.push(...first.keys);
      returned = rest.startsWith('\r');
      rest = rest.slice(first.length);
    }
  }
  return { keys, unread: { pending: rest, paste, returned } };
};

/** Reads what was left over when nothing more arrived in time. No character is dropped. */
export const readAsItStands = ({ pending, paste }: Unread): ReadKeys => {
  const literal = pending.startsWith(escape) ? pending.slice(1) : pending;
  const keys = [...(pending.startsWith(escape) ? [named('escape')] : []), ...graphemes(literal).map(char)];
  return { keys: paste === undefined ? keys : [pasted(paste)], unread: nothingUnread };
};

/** In ms: how long the rest of an escape sequence may take. After that an escape character is the Escape key. */
const sequenceTime = 40;
/** In ms: how long a paste may pause before it is read without its end. */
const pasteTime = 1000;

export interface KeypressReader {
  readonly push: (chunk: Uint8Array | string) => void;
  /** Forgets what is left over and stops waiting. */
  readonly stop: () => void;
}

/** Turns what a terminal sends into keys, wherever the input was cut. */
export const keypressReader = (onKey: (key: Key) => void, timers: Timers): KeypressReader => {
  const decoder = new StringDecoder('utf8');
  let unread = nothingUnread;
  let cancel = (): void => {};
  const take = (result: ReadKeys): void => {
    unread = result.unread;
    for (const key of result.keys) onKey(key);
  };
  const wait = (): void => {
    const open = unread.paste !== undefined;
    if (!open && unread.pending === '') return;
    cancel = timers.after(open ? pasteTime : sequenceTime, () => {
      // After a long frame the rest may be in the input already, so it is read first.
      cancel = timers.after(0, () => take(readAsItStands(unread)));
    });
  };
  return {
    push: (chunk) => {
      cancel();
      take(readKeys(unread, typeof chunk === 'string' ? chunk : decoder.write(Buffer.from(chunk))));
      wait();
    },
    stop: () => {
      cancel();
      unread = nothingUnread;
    },
  };
};
