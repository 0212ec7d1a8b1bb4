import { dirname, join } from 'node:path';
import { FaultError } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk, Facts } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { journalNames } from './journal-names.ts';
import { inState } from './layout.ts';
import { readFile } from './read-file.ts';
import { writeLoose } from './write-file.ts';

/*
 * What one run keeps for the next in the cache folder. All of it can be deleted, be old or be broken, and nothing is lost but time:
 * a snapshot counts only while every file that it rests on is untouched, by its size, identity and moments of change.
 */

/** Files of a state, by their path in it, as they were before they were read. */
export type Watched = ReadonlyMap<string, Facts>;

export const factsIn = (disk: Disk, state: string, path: string): Facts | undefined => {
  const facts = onDisk(path, () => disk.look(inState(state, path)));
  return facts.ok ? facts.value : undefined;
};

export const isSame = (a: Facts | undefined, b: Facts | undefined): boolean =>
  a !== undefined &&
  b !== undefined &&
  a.kind === b.kind &&
  a.size === b.size &&
  a.identity === b.identity &&
  a.changed === b.changed;

/** What lies in `journal/`. Throws where that cannot be told. */
export const namesIn = (
  disk: Disk,
  state: string,
): { readonly files: readonly string[]; readonly unread: readonly string[] } => {
  const names = journalNames(disk, state);
  if (!names.ok) throw new FaultError(names.fault);
  return names.value;
};

/** True while every journal file is among these, and none of them has been touched. Throws as `namesIn`. */
export const isStill = (disk: Disk, state: string, watched: Watched): boolean =>
  namesIn(disk, state).files.every((name) => watched.has(name)) &&
  [...watched].every(([path, facts]) => isSame(factsIn(disk, state, path), facts));

/** Where what is kept of a state lies. */
export const keptPath = (cache: string, realState: string, kind: 'status' | 'seen' | 'snapshot'): string =>
  join(cache, kind, sha256Hex(realState).slice(0, 32));

/** Bytes; beyond it nothing is kept and the journal is read each time. */
const largestKept = 512 * 1024 * 1024;

/** What was kept, and its hash. */
export interface KeptBytes {
  readonly sha256: string;
  readonly bytes: Buffer;
}

/** Bytes of a hash in hex, and the line feed behind it. */
const headLength = 65;

/** What an earlier run kept, where it is whole. */
export const readKept = (disk: Disk, path: string): KeptBytes | undefined => {
  const read = readFile(disk, path, { where: path, limit: largestKept });
  if (!read.ok) return undefined;
  const all = Buffer.from(read.value.buffer, read.value.byteOffset, read.value.length);
  const [sha256, bytes] = [all.toString('latin1', 0, headLength - 1), all.subarray(headLength)];
  return sha256Hex(bytes) === sha256 ? { sha256, bytes } : undefined;
};

/** Keeps it for the next run, behind its hash, which is given back; where that fails nothing is lost. */
export const keep = (disk: Disk, path: string, content: Buffer | string): string | undefined => {
  const bytes = typeof content === 'string' ? Buffer.from(content, 'utf8') : content;
  const sha256 = sha256Hex(bytes);
  const kept = onDisk(path, () => {
    disk.makeFolder(dirname(path), 0o700);
    writeLoose(disk, path, Buffer.concat([Buffer.from(`${sha256}\n`, 'latin1'), bytes]));
  });
  return kept.ok ? sha256 : undefined;
};

export const forget = (disk: Disk, path: string): void => void onDisk(path, () => disk.remove(path));

/** The bytes of a file of the state from one place to another, or `undefined` where they are not all there. */
export const readRange = (disk: Disk, state: string, path: string, from: number, to: number): Buffer | undefined => {
  const read = onDisk(path, () => {
    const fd = disk.open(inState(state, path), 'read');
    try {
      const bytes = Buffer.alloc(to - from);
      let length = 0;
      for (let count = 1; count > 0 && length < bytes.length; length += count)
        count = disk.read(fd, bytes.subarray(length), from + length);
      return length === bytes.length ? bytes : undefined;
    } finally {
      disk.close(fd);
    }
  });
  return read.ok ? read.value : undefined;
};
