import { TextDecoder } from 'node:util';
import { isCutObject } from '../../proof/json-prefix.ts';

/*
 * Two copies of one writer's file. A writer only ever adds lines, so one of them begins with all lines of the other, or somebody
 * has rewritten one of them.
 */

const lineFeed = 0x0a;

const isTorn = (tail: Buffer): boolean => {
  try {
    return isCutObject(new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(tail, { stream: true }));
  } catch {
    return false;
  }
};

/** A file without the piece of a line that a power cut left at its end. */
export const wholeLines = (bytes: Buffer): Buffer => {
  const start = bytes.lastIndexOf(lineFeed) + 1;
  const tail = bytes.subarray(start);
  return tail.length > 0 && isTorn(tail) ? bytes.subarray(0, start) : bytes;
};

/** A last line that lost its line feed in a crash is complete. */
const ended = (bytes: Buffer): Buffer =>
  bytes.length === 0 || bytes.at(-1) === lineFeed ? bytes : Buffer.concat([bytes, Buffer.from('\n')]);

/** `ours`: it has all lines of both. `theirs`: the other one has more. Else the number of the first line that differs. */
export type Longer = 'ours' | 'theirs' | { readonly differsAt: number };

const linesBefore = (bytes: Buffer, end: number): number => {
  let count = 0;
  for (let at = bytes.indexOf(lineFeed); at !== -1 && at < end; at = bytes.indexOf(lineFeed, at + 1)) count += 1;
  return count;
};

/** Which of two copies of one writer's file has all lines of both. */
export const longer = (ours: Buffer, theirs: Buffer): Longer => {
  const [a, b] = [ended(wholeLines(ours)), ended(wholeLines(theirs))];
  const common = Math.min(a.length, b.length);
  if (a.subarray(0, common).equals(b.subarray(0, common))) return b.length > a.length ? 'theirs' : 'ours';
  let at = 0;
  while (a[at] === b[at]) at += 1;
  return { differsAt: linesBefore(a, at) + 1 };
};
