import type { Key, KeyName, Letter, NamedKey } from './keys.ts';

type Modifiers = Pick<NamedKey, 'ctrl' | 'alt' | 'shift'>;

export const named = (name: KeyName, modifiers: Modifiers = {}): NamedKey => ({ kind: 'named', name, ...modifiers });

export const char = (text: string): Key => ({ kind: 'char', text });

/** The last letter of `CSI … letter` and `SS3 letter` (xterm control sequences, "PC-style function keys"). */
const byLetter: Readonly<Record<string, KeyName>> = {
  A: 'up',
  B: 'down',
  C: 'right',
  D: 'left',
  H: 'home',
  F: 'end',
  P: 'f1',
  Q: 'f2',
  R: 'f3',
  S: 'f4',
  M: 'enter',
};

/** The number of `CSI number ~` (xterm, VT220 and rxvt forms together; they do not contradict each other). */
const byNumber: Readonly<Record<string, KeyName>> = {
  1: 'home',
  2: 'insert',
  3: 'delete',
  4: 'end',
  5: 'page-up',
  6: 'page-down',
  7: 'home',
  8: 'end',
  11: 'f1',
  12: 'f2',
  13: 'f3',
  14: 'f4',
  15: 'f5',
  17: 'f6',
  18: 'f7',
  19: 'f8',
  20: 'f9',
  21: 'f10',
  23: 'f11',
  24: 'f12',
};

/** `CSI [ letter`: the first five function keys of the Linux console. */
const onTheConsole: Readonly<Record<string, KeyName>> = { A: 'f1', B: 'f2', C: 'f3', D: 'f4', E: 'f5' };

/** `SS3 letter` from j on: the application keypad. */
const keypad = '*+,-./0123456789';

const controls: Readonly<Record<string, NamedKey>> = {
  '\u0000': named('ctrl-space'),
  '\u0008': named('backspace'),
  '\t': named('tab'),
  '\n': named('enter'),
  '\r': named('enter'),
  '\u001c': named('ctrl-\\'),
  '\u001d': named('ctrl-]'),
  '\u001e': named('ctrl-^'),
  '\u001f': named('ctrl-_'),
  '\u007f': named('backspace'),
};

/** The key of one control character; undefined for those that no key sends (C1). */
export const keyOfControl = (control: string): NamedKey | undefined => {
  const code = control.charCodeAt(0);
  const letter = String.fromCharCode(code + 0x60) as Letter; // 0x01 to 0x1a; the table has the others
  return controls[control] ?? (code > 0 && code <= 0x1a ? named(`ctrl-${letter}`) : undefined);
};

/** The modifiers that the terminal sends as 1 + shift 1 + alt 2 + ctrl 4 + meta 8. */
const modifiersOf = (sent: string | undefined): Modifiers => {
  const bits = Number(sent ?? '1') - 1;
  return {
    ...((bits & 1) === 0 ? {} : { shift: true }),
    ...((bits & 10) === 0 ? {} : { alt: true }),
    ...((bits & 4) === 0 ? {} : { ctrl: true }),
  };
};

const byCode: Readonly<Record<string, KeyName>> = {
  8: 'backspace',
  9: 'tab',
  13: 'enter',
  27: 'escape',
  127: 'backspace',
};

/** The key of a code point (`CSI code ; modifiers u`, or `CSI 27 ; modifiers ; code ~`), which some terminals are configured to send. */
const keyOfCode = (code: string, sent: string | undefined): Key | undefined => {
  const modifiers = modifiersOf(sent);
  const name = byCode[code];
  if (name !== undefined) return named(name, modifiers);
  const point = Number(code);
  if (point < 0x20 || point > 0x10ffff || (point >= 0x80 && point < 0xa0) || (point >= 0xd800 && point < 0xe000))
    return undefined;
  const text = String.fromCodePoint(point);
  if (modifiers.ctrl) return /^[a-z]$/.test(text) ? keyOfControl(String.fromCharCode(point - 0x60)) : undefined;
  return char(modifiers.shift ? text.toUpperCase() : text);
};

const nameOrNothing = (name: KeyName | undefined, sent?: string): Key | undefined =>
  name === undefined ? undefined : named(name, modifiersOf(sent));

/**
 * The key of one whole escape sequence (`ESC [ …` or `ESC O …`); undefined where it is not a key, such as a focus report, a mouse
 * report or an answer to a query.
 */
export const keyOfSequence = (sequence: string): Key | undefined => {
  const last = sequence.slice(-1);
  const name = byLetter[last];
  if (sequence.startsWith('\u001bO')) {
    if (name !== undefined) return named(name, modifiersOf(sequence.slice(2, -1) || undefined));
    const typed = keypad[last.charCodeAt(0) - 'j'.charCodeAt(0)];
    return typed === undefined ? undefined : char(typed);
  }
  if (sequence.startsWith('\u001b[[')) return nameOrNothing(onTheConsole[last]);
  const parameters = sequence.slice(2, -1);
  if (!/^[\d;]*$/.test(parameters)) return undefined;
  const [first = '', second, third] = parameters.split(';');
  if (last === 'u') return keyOfCode(first, second);
  if (last === '~' && first === '27' && third !== undefined) return keyOfCode(third, second);
  if (last === '~') return nameOrNothing(byNumber[first], second);
  if (last === 'Z') return named('tab', { shift: true });
  // A cursor position report also ends in R, but has a row and a column. M ends a mouse report.
  return last === 'M' || (first !== '' && first !== '1') ? undefined : nameOrNothing(name, second);
};
