import { basename, dirname, join } from 'node:path';
import { FaultError } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk, Facts } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { journalNames } from './journal-names.ts';
import { inState, temporary } from './layout.ts';
import { readFile } from './read-file.ts';
import { writeAll, writeLoose } from './write-file.ts';

/*
 * What one run keeps in the cache folder for the next. All of it may be deleted, outdated or damaged, and only time is lost: a
 * snapshot counts only while the size, identity and times of every file that it was made from are the same.
 */

/** Files of a state by their path, with their facts before they were read. */
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

/** The names in `journal/`. Throws where they cannot be listed. */
export const fileNamesIn = (
  disk: Disk,
  state: string,
): { readonly files: readonly string[]; readonly unread: readonly string[] } => {
  const names = journalNames(disk, state);
  if (!names.ok) throw new FaultError(names.fault);
  return names.value;
};

/** True while every journal file is among these and none of them was touched. Throws as `fileNamesIn`. */
export const isStill = (disk: Disk, state: string, watched: Watched): boolean =>
  fileNamesIn(disk, state).files.every((name) => watched.has(name)) &&
  [...watched].every(([path, facts]) => isSame(factsIn(disk, state, path), facts));

/** The path of what is kept of a state, by its real path; or of a procedures folder, by its path as given. */
export const keptPath = (cache: string, folder: string, kind: 'status' | 'seen' | 'snapshot' | 'procedures'): string =>
  join(cache, kind, sha256Hex(folder).slice(0, 32));

/** In bytes; a larger snapshot is not kept, and the journal is read each time. */
const largestKept = 512 * 1024 * 1024;

/** The snapshot in the cache folder, which is valid while its file is untouched. */
export interface SnapshotFile {
  readonly entries: number;
  /** Where its list of contents begins, and how long that is, in bytes. */
  readonly from: number;
  readonly head: number;
  readonly facts: Facts;
}

/** The length of a hash in hexadecimal digits and the line feed after it, in bytes. */
const headLength = 65;

/** What an earlier run kept, unless it is damaged. */
export const readKept = (disk: Disk, path: string): Buffer | undefined => {
  const read = readFile(disk, path, { where: path, limit: largestKept });
  if (!read.ok) return undefined;
  const all = Buffer.from(read.value.buffer, read.value.byteOffset, read.value.length);
  const bytes = all.subarray(headLength);
  return sha256Hex(bytes) === all.toString('latin1', 0, headLength - 1) ? bytes : undefined;
};

/** Keeps bytes for the next run. Gives the facts of the new file, or `undefined` where it could not be written. */
export const keepRaw = (disk: Disk, path: string, bytes: Buffer): Facts | undefined => {
  const kept = onDisk(path, () => {
    disk.makeFolder(dirname(path), 0o700);
    writeLoose(disk, path, bytes);
    return disk.look(path);
  });
  return kept.ok ? kept.value : undefined;
};

/** Keeps bytes as they come, so that they are never all in memory; else as `keepRaw`. */
export const keepPieces = (disk: Disk, path: string, pieces: Iterable<Uint8Array>): Facts | undefined => {
  const kept = onDisk(path, () => {
    disk.makeFolder(dirname(path), 0o700);
    const beside = join(dirname(path), temporary(basename(path)));
    const fd = disk.open(beside, 'fresh', 0o600);
    try {
      for (const piece of pieces) writeAll(disk, fd, piece);
    } finally {
      disk.close(fd);
    }
    disk.rename(beside, path);
    return disk.look(path);
  });
  return kept.ok ? kept.value : undefined;
};

/**
 * Adds bytes to what is kept. Gives the facts of the file with them, or `undefined` where it is not the file that was known, also where
 * another process added to it at the same time.
 */
export const keepMore = (disk: Disk, path: string, known: Facts, bytes: Uint8Array): Facts | undefined => {
  const kept = onDisk(path, () => {
    if (!isSame(disk.look(path), known)) return undefined;
    const fd = disk.open(path, 'append');
    try {
      if (!isSame(disk.facts(fd), known)) return undefined;
      writeAll(disk, fd, bytes);
      const facts = disk.facts(fd);
      return facts.size === known.size + bytes.length ? facts : undefined;
    } finally {
      disk.close(fd);
    }
  });
  return kept.ok ? kept.value : undefined;
};

/** Keeps a text for the next run, preceded by its hash. */
export const keep = (disk: Disk, path: string, text: string): void => {
  const bytes = Buffer.from(text, 'utf8');
  keepRaw(disk, path, Buffer.concat([Buffer.from(`${sha256Hex(bytes)}\n`, 'latin1'), bytes]));
};

export const forget = (disk: Disk, path: string): void => void onDisk(path, () => disk.remove(path));

/** Reads `length` bytes of an open file from byte `from`; `undefined` where the file has fewer. Throws what the disk throws. */
export const readAt = (disk: Disk, fd: number, from: number, length: number): Buffer | undefined => {
  const bytes = Buffer.allocUnsafe(length);
  let done = 0;
  for (let count = 1; count > 0 && done < length; done += count)
    count = disk.read(fd, bytes.subarray(done), from + done);
  return done === length ? bytes : undefined;
};

/** Reads a file of the state from byte `from` up to byte `to`; `undefined` where the file has fewer. Throws what the disk throws. */
export const readRange = (disk: Disk, state: string, path: string, from: number, to: number): Buffer | undefined => {
  const fd = disk.open(inState(state, path), 'read');
  try {
    return readAt(disk, fd, from, to - from);
  } finally {
    disk.close(fd);
  }
};
