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
export const fileNamesIn = (
  disk: Disk,
  state: string,
): { readonly files: readonly string[]; readonly unread: readonly string[] } => {
  const names = journalNames(disk, state);
  if (!names.ok) throw new FaultError(names.fault);
  return names.value;
};

/** True while every journal file is among these, and none of them has been touched. Throws as `namesIn`. */
export const isStill = (disk: Disk, state: string, watched: Watched): boolean =>
  fileNamesIn(disk, state).files.every((name) => watched.has(name)) &&
  [...watched].every(([path, facts]) => isSame(factsIn(disk, state, path), facts));

/** Where what is kept of a state lies. */
export const keptPath = (cache: string, realState: string, kind: 'status' | 'seen' | 'snapshot'): string =>
  join(cache, kind, sha256Hex(realState).slice(0, 32));

/** Bytes; beyond it nothing is kept and the journal is read each time. */
const largestKept = 512 * 1024 * 1024;

/** The snapshot that lies in the cache folder: believed while the file is untouched. */
export interface SnapshotFile {
  readonly entries: number;
  /** Bytes of the first line, its line feed included. */
  readonly head: number;
  readonly facts: Facts;
}

/** Bytes of a hash in hex, and the line feed behind it. */
const headLength = 65;

/** What an earlier run kept, where it is whole. */
export const readKept = (disk: Disk, path: string): Buffer | undefined => {
  const read = readFile(disk, path, { where: path, limit: largestKept });
  if (!read.ok) return undefined;
  const all = Buffer.from(read.value.buffer, read.value.byteOffset, read.value.length);
  const bytes = all.subarray(headLength);
  return sha256Hex(bytes) === all.toString('latin1', 0, headLength - 1) ? bytes : undefined;
};

/** Keeps it for the next run; what the file is then, or `undefined`, and nothing is lost. */
export const keepRaw = (disk: Disk, path: string, bytes: Buffer): Facts | undefined => {
  const kept = onDisk(path, () => {
    disk.makeFolder(dirname(path), 0o700);
    writeLoose(disk, path, bytes);
    return disk.look(path);
  });
  return kept.ok ? kept.value : undefined;
};

/** Keeps a text for the next run, behind its hash. */
export const keep = (disk: Disk, path: string, text: string): void => {
  const bytes = Buffer.from(text, 'utf8');
  keepRaw(disk, path, Buffer.concat([Buffer.from(`${sha256Hex(bytes)}\n`, 'latin1'), bytes]));
};

export const forget = (disk: Disk, path: string): void => void onDisk(path, () => disk.remove(path));

/** Bytes of an open file, or `undefined` where they are not all there. Throws what the disk throws. */
export const readAt = (disk: Disk, fd: number, from: number, length: number): Buffer | undefined => {
  const bytes = Buffer.allocUnsafe(length);
  let done = 0;
  for (let count = 1; count > 0 && done < length; done += count)
    count = disk.read(fd, bytes.subarray(done), from + done);
  return done === length ? bytes : undefined;
};

/** The bytes of a file of the state from one place to another, or `undefined` where they are not all there. */
export const readRange = (disk: Disk, state: string, path: string, from: number, to: number): Buffer | undefined => {
  const fd = disk.open(inState(state, path), 'read');
  try {
    return readAt(disk, fd, from, to - from);
  } finally {
    disk.close(fd);
  }
};
