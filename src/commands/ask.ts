import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import type { Streams } from './host.ts';

interface RawTerminal {
  setRawMode(on: boolean): unknown;
}

const isRaw = (stdin: unknown): stdin is RawTerminal =>
  typeof stdin === 'object' && stdin !== null && 'setRawMode' in stdin && typeof stdin.setRawMode === 'function';

const enters = new Set(['\r', '\n']);
/** Ctrl-C and Ctrl-D. */
const breaks = new Set(['\u0003', '\u0004']);
const backspaces = new Set(['\u0008', '\u007f']);

const afterKey = (line: string, key: string): string => {
  if (backspaces.has(key)) return [...line].slice(0, -1).join('');
  return key < ' ' ? line : line + key;
};

/** In characters, whatever they are. Nobody types so many, and a device without end must not be read for ever. */
const longest = 4096;

const tooLong = usage(
  'passphrase-long',
  `the first line is longer than ${longest} characters`,
  'give a passphrase, with a line end behind it',
);
const cancelled = usage('passphrase-missing', 'no passphrase was given', 'type it, or sign with --key FILE');

const given = (line: string): Outcome<string> => (line === '' ? err(cancelled) : ok(line));

/** Reads the first line. What came after it is put back for the next reader. */
const firstLine = (stdin: Streams['stdin']): Promise<Outcome<string>> =>
  new Promise((resolve) => {
    let line = '';
    let read = 0;
    const finish = (result: Outcome<string>, rest = ''): void => {
      stdin.off('data', onData);
      stdin.off('end', onEnd);
      stdin.pause();
      if (rest !== '') stdin.unshift(Buffer.from(rest));
      resolve(result);
    };
    const onData = (chunk: unknown): void => {
      const keys = [...String(chunk)];
      for (const [place, key] of keys.entries()) {
        if (enters.has(key)) return finish(given(line), keys.slice(place + 1).join(''));
        if (breaks.has(key)) return finish(err(cancelled));
        read += 1;
        if (read > longest) return finish(err(tooLong));
        line = afterKey(line, key);
      }
    };
    const onEnd = (): void => finish(given(line));
    stdin.on('data', onData);
    stdin.on('end', onEnd);
    stdin.resume();
  });

/** Reads one line without showing it. From a pipe it reads the first line, so that a script can give a passphrase. */
export const askSecret = async (streams: Streams, question: string): Promise<Outcome<string>> => {
  const { stdin, stderr } = streams;
  const raw = stdin.isTTY === true && isRaw(stdin) ? stdin : undefined;
  if (raw) stderr.write(question);
  raw?.setRawMode(true);
  try {
    return await firstLine(stdin);
  } finally {
    raw?.setRawMode(false);
    if (raw) stderr.write('\n');
  }
};
