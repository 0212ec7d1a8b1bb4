import { dirname, join, basename } from 'node:path';
import type { Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { temporary } from './layout.ts';

const noBytes = new Uint8Array(0);

/** Writes all of it, however little the system takes at a time. Throws what the disk throws. */
export const writeAll = (disk: Disk, fd: number, bytes: Uint8Array): void => {
  for (let rest = bytes; rest.length > 0;) {
    const taken = disk.write(fd, rest);
    rest = taken === rest.length ? noBytes : rest.subarray(taken);
  }
};

/** Makes a folder, and those above it, that are there after a power cut. Throws what the disk throws. */
export const settleFolder = (disk: Disk, path: string, mode?: number): void => {
  const topmost = disk.makeFolder(path, mode);
  if (topmost === undefined) return;
  for (let made = path; made.length >= topmost.length; made = dirname(made)) disk.syncFolder(dirname(made));
};

/** Writes a new file whose content is there after a power cut, under a name that may not be. Throws what the disk throws. */
export const writeSynced = (disk: Disk, path: string, bytes: Uint8Array, mode: number): void => {
  const fd = disk.open(path, 'fresh', mode);
  try {
    writeAll(disk, fd, bytes);
    disk.syncData(fd);
  } finally {
    disk.close(fd);
  }
};

/** What stands under the temporary name and is no file of ours (a link, a pipe) must not keep a file from being written. */
const clearAside = (disk: Disk, beside: string): void => {
  if (disk.look(beside)?.kind === 'other') disk.remove(beside);
};

/** How a file is written: how a fault names it, and who may read it. */
export interface Writing {
  readonly where: string;
  /** 0644 unless it says otherwise. */
  readonly mode?: number;
  /** Of the folder, where it has to be made. */
  readonly folderMode?: number;
}

const asBytes = (content: Uint8Array | string): Uint8Array =>
  typeof content === 'string' ? Buffer.from(content, 'utf8') : content;

/**
 * Writes a file so that under its name there is the old content or the new, whole, whenever the power goes: a temporary
 * file beside it, synced, renamed, the folder synced. Codes `disk-…`.
 *
 * The library write-file-atomic does not fit: it calls node:fs itself, so that no test can cut or fail its calls, and it does not
 * sync the folder, without which a power cut can undo the rename.
 */
export const writeFile = (
  disk: Disk,
  path: string,
  content: Uint8Array | string,
  { where, mode = 0o644, folderMode }: Writing,
): Outcome<void> =>
  onDisk(where, () => {
    const folder = dirname(path);
    const beside = join(folder, temporary(basename(path)));
    settleFolder(disk, folder, folderMode);
    clearAside(disk, beside);
    try {
      writeSynced(disk, beside, asBytes(content), mode);
      disk.rename(beside, path);
    } catch (error) {
      leaveNothing(disk, beside);
      throw error;
    }
    disk.syncFolder(folder);
  });

/**
 * Writes what may be lost: whole or not there while the power stays, anything at all after a cut. Throws what the disk throws.
 */
export const writeLoose = (disk: Disk, path: string, content: Uint8Array | string): void => {
  const beside = join(dirname(path), temporary(basename(path)));
  clearAside(disk, beside);
  const fd = disk.open(beside, 'fresh', 0o600);
  try {
    writeAll(disk, fd, asBytes(content));
  } finally {
    disk.close(fd);
  }
  disk.rename(beside, path);
};

/** Removes what a failed write left, if the disk lets us; what remains is a temporary file, which harms nobody. */
const leaveNothing = (disk: Disk, path: string): void => {
  try {
    disk.remove(path);
  } catch {
    // the failure that matters is the one being reported
  }
};
