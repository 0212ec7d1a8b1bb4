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

const cancelled = usage('passphrase-missing', 'no passphrase was given', 'type it, or sign with --key FILE');

/** Reads the first line. What came after it is put back for the next reader. */
const firstLine = (stdin: Streams['stdin']): Promise<string | undefined> =>
  new Promise((resolve) => {
    let line = '';
    const finish = (result: string | undefined, rest = ''): void => {
      stdin.off('data', onData);
      stdin.off('end', onEnd);
      stdin.pause();
      if (rest !== '') stdin.unshift(Buffer.from(rest));
      resolve(result);
    };
    const onData = (chunk: unknown): void => {
      const keys = [...String(chunk)];
      for (const [place, key] of keys.entries()) {
        if (enters.has(key)) return finish(line, keys.slice(place + 1).join(''));
        if (breaks.has(key)) return finish(undefined);
        line = afterKey(line, key);
      }
    };
    const onEnd = (): void => finish(line === '' ? undefined : line);
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
    const line = await firstLine(stdin);
    return line === undefined || line === '' ? err(cancelled) : ok(line);
  } finally {
    raw?.setRawMode(false);
    if (raw) stderr.write('\n');
  }
};
