import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { keypressReader, nothingUnread, readKeys, readAsItStands } from '../../src/terminal/key-reader.ts';
import type { Key } from '../../src/terminal/keys.ts';
import { handTimers } from '../support/hand-timers.ts';

const char = (text: string): Key => ({ kind: 'char', text });
const named = (name: string, modifiers: object = {}): Key => ({ kind: 'named', name, ...modifiers }) as Key;
const keysOf = (text: string): readonly Key[] => readKeys(nothingUnread, text).keys;

/** The bytes of each kind of key, from xterm's control sequences and the terminfo entries of the named terminals. */
const wire: readonly (readonly [bytes: string, ...keys: Key[]])[] = [
  ['a', char('a')],
  [' ', char(' ')],
  ['µ', char('µ')],
  ['\r', named('enter')],
  ['\n', named('enter')],
  ['\t', named('tab')],
  ['\u001b[Z', named('tab', { shift: true })],
  ['\u007f', named('backspace')],
  ['\b', named('backspace')],
  ['\u001b[3~', named('delete')],
  ['\u001b[2~', named('insert')],
  ['\u001b[A', named('up')],
  ['\u001bOB', named('down')],
  ['\u001b[C', named('right')],
  ['\u001bOD', named('left')],
  ['\u001b[H', named('home')],
  ['\u001b[1~', named('home')],
  ['\u001b[7~', named('home')],
  ['\u001bOF', named('end')],
  ['\u001b[4~', named('end')],
  ['\u001b[5~', named('page-up')],
  ['\u001b[6~', named('page-down')],
  ['\u001bOP', named('f1')],
  ['\u001b[11~', named('f1')],
  ['\u001b[[A', named('f1')],
  ['\u001b[[E', named('f5')],
  ['\u001b[24~', named('f12')],
  ['\u001b[1;5P', named('f1', { ctrl: true })],
  ['\u001bO5P', named('f1', { ctrl: true })],
  ['\u001b[15;2~', named('f5', { shift: true })],
  ['\u001b[1;3A', named('up', { alt: true })],
  ['\u001b[1;6D', named('left', { shift: true, ctrl: true })],
  ['\u0003', named('ctrl-c')],
  ['\u001a', named('ctrl-z')],
  ['\u001c', named('ctrl-\\')],
  ['\u0000', named('ctrl-space')],
  ['\u001bOp', char('0')],
  ['\u001bOn', char('.')],
  ['\u001bOM', named('enter')],
  ['\u001b[13;2u', named('enter', { shift: true })],
  ['\u001b[27;5;99~', named('ctrl-c')],
  ['\u001b[200~12,5 mm\r\nnext\rlast\u001b[201~', { kind: 'paste', text: '12,5 mm\nnext\nlast' }],
  ['\u001b[200~\u001b[A\u0003\u001b[201~', { kind: 'paste', text: '\u001b[A\u0003' }],
  // Not keys: focus, mouse (three forms), cursor position, attributes, a C1 control.
  ...['\u001b[I', '\u001b[O', '\u001b[<0;10;5M', '\u001b[<0;10;5m', '\u001b[32;10;5M'].map((bytes) => [bytes] as const),
  ...['\u001b[M !!', '\u001b[12;40R', '\u001b[?62;4c', '\u0085'].map((bytes) => [bytes] as const),
];

describe('the bytes of a key', () => {
  it.each(wire.map(([bytes, ...keys]) => ({ bytes: JSON.stringify(bytes), sent: bytes, keys })))(
    '$bytes',
    ({ sent, keys }) => {
      expect(keysOf(sent)).toEqual(keys);
    },
  );

  it('a scanner sends every character, then enter', () => {
    expect(keysOf('SN12\r')).toEqual([char('S'), char('N'), char('1'), char('2'), named('enter')]);
  });

  it('a scanner that ends in CR LF presses enter once, and two line feeds press it twice', () => {
    expect(keysOf('7\r\n8\n\n\r')).toEqual([
      char('7'),
      named('enter'),
      char('8'),
      named('enter'),
      named('enter'),
      named('enter'),
    ]);
  });

  it('keeps graphemes whole', () => {
    expect(keysOf('e\u0301a\u{1f1e9}\u{1f1ea}')).toEqual([char('e\u0301'), char('a'), char('\u{1f1e9}\u{1f1ea}')]);
  });

  it('three backspaces together are three', () => {
    expect(keysOf('\u007f\u007f\u007f')).toEqual([named('backspace'), named('backspace'), named('backspace')]);
  });

  it('escape before another key is escape, then that key', () => {
    expect(keysOf('\u001bj')).toEqual([named('escape'), char('j')]);
    expect(keysOf('\u001b\r')).toEqual([named('escape'), named('enter')]);
    expect(keysOf('\u001b\u001b[A')).toEqual([named('escape'), named('up')]);
    expect(keysOf('\u001b[1\r')).toEqual([named('escape'), char('['), char('1'), named('enter')]);
  });

  it('a sequence that is never finished is read as it came', () => {
    const { unread } = readKeys(nothingUnread, '\u001b[1;');
    expect(readAsItStands(unread).keys).toEqual([named('escape'), char('['), char('1'), char(';')]);
  });
});

describe('the reader', () => {
  const begin = () => {
    const keys: Key[] = [];
    const timers = handTimers();
    return { keys, timers, reader: keypressReader((key) => keys.push(key), timers) };
  };

  it('recognises escape after 40 ms, and waits for the rest of a sequence until then', () => {
    const { keys, timers, reader } = begin();
    reader.push('\u001b');
    timers.pass(39);
    expect(keys).toEqual([]);
    reader.push('[A');
    expect(keys).toEqual([named('up')]);
    reader.push('\u001b');
    timers.pass(50);
    expect(keys).toEqual([named('up'), named('escape')]);
  });

  it('reads input that arrived during a long frame before it decides on escape', () => {
    const { keys, timers, reader } = begin();
    reader.push('\u001b');
    timers.pass(40, { turns: 1 });
    reader.push('[B');
    timers.pass(1000);
    expect(keys).toEqual([named('down')]);
  });

  it('reads a paste without an end as it is, and keys after it again', () => {
    const { keys, timers, reader } = begin();
    reader.push('\u001b[200~half');
    timers.pass(500);
    reader.push(' a paste');
    timers.pass(1001);
    reader.push('x');
    expect(keys).toEqual([{ kind: 'paste', text: 'half a paste' }, char('x')]);
  });

  it('passes on nothing after stop', () => {
    const { keys, timers, reader } = begin();
    reader.push('\u001b');
    reader.stop();
    timers.pass(1000);
    expect(keys).toEqual([]);
  });

  const pieces = fc.array(fc.constantFrom(...wire), { minLength: 1, maxLength: 12 });

  it('takes a line feed after a paste for Enter, whatever came before the paste', () => {
    const bytes = '\r\u001b[200~12,5 mm\u001b[201~\na';
    const names = keysOf(bytes).map((key) => (key.kind === 'named' ? key.name : key.kind));
    expect(names).toEqual(['enter', 'paste', 'enter', 'char']);
  });

  it('reads the same keys wherever the bytes are cut', () => {
    fc.assert(
      fc.property(pieces, fc.array(fc.nat(200)), (sent, cuts) => {
        const bytes = Buffer.from(sent.map(([text]) => text).join(''));
        const { keys, reader } = begin();
        let from = 0;
        for (const to of [...new Set(cuts.map((cut) => cut % bytes.length))]
          .sort((a, b) => a - b)
          .concat(bytes.length)) {
          reader.push(bytes.subarray(from, to));
          from = to;
        }
        expect(keys).toEqual(keysOf(bytes.toString()));
      }),
    );
  });

  it('reads the same keys byte by byte', () => {
    fc.assert(
      fc.property(pieces, (sent) => {
        const bytes = Buffer.from(sent.map(([text]) => text).join(''));
        const { keys, reader } = begin();
        for (const byte of bytes) reader.push(Uint8Array.of(byte));
        expect(keys).toEqual(keysOf(bytes.toString()));
      }),
    );
  });

  it('loses no printable character, whatever is around it and however it is cut', () => {
    const anything = fc.array(
      fc.constantFrom('a', '7', '[', 'O', '~', ';', 'é', '漢', '\u001b', '\r', '\u007f', '\u0001'),
      { maxLength: 30 },
    );
    fc.assert(
      fc.property(anything, fc.boolean(), (parts, cut) => {
        const { keys, timers, reader } = begin();
        for (const part of cut ? parts : [parts.join('')]) {
          reader.push(part);
          if (cut) timers.pass(100);
        }
        timers.pass(5000);
        const typed = keys.map((key) => (key.kind === 'named' ? '' : key.text)).join('');
        if (cut) expect(typed).toBe(parts.filter((part) => part >= ' ' && part !== '\u007f').join(''));
        else
          for (const letter of ['7', 'é', '漢'])
            expect(typed.split(letter).length).toBeGreaterThanOrEqual(countOutside(parts, letter));
      }),
    );
  });

  /** How often `letter` occurs, plus one, leaving out what may belong to an escape sequence. */
  const countOutside = (parts: readonly string[], letter: string): number =>
    parts
      .join('')
      .replaceAll(/\u001b(\[[\d;[]*.|O\d?.)/gu, '')
      .split(letter).length;
});
