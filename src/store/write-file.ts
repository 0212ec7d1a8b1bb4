import { dirname, join, basename } from 'node:path';
import type { Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { temporary } from './layout.ts';

const noBytes = new Uint8Array(0);

/** Writes all the bytes, in as many calls as the system needs. Throws what the disk throws. */
export const writeAll = (disk: Disk, fd: number, bytes: Uint8Array): void => {
  for (let rest = bytes; rest.length > 0;) {
    const taken = disk.write(fd, rest);
    rest = taken === rest.length ? noBytes : rest.subarray(taken);
  }
};

/** Makes a folder and the missing ones above it, so that they survive a power cut. Throws what the disk throws. */
export const settleFolder = (disk: Disk, path: string, mode?: number): void => {
  const topmost = disk.makeFolder(path, mode);
  if (topmost === undefined) return;
  for (let made = path; made.length >= topmost.length; made = dirname(made)) disk.syncFolder(dirname(made));
};

/** Writes a new file whose content survives a power cut; its name may not. Throws what the disk throws. */
export const writeSynced = (disk: Disk, path: string, bytes: Uint8Array, mode: number): void => {
  const fd = disk.open(path, 'fresh', mode);
  try {
    writeAll(disk, fd, bytes);
    disk.syncData(fd);
  } finally {
    disk.close(fd);
  }
};

/** A link or a pipe under the temporary name is not ours and would keep the file from being written, so it is removed. */
const clearAside = (disk: Disk, beside: string): void => {
  if (disk.look(beside)?.kind === 'other') disk.remove(beside);
};

/** How a fault names the file, and who may read it. */
export interface Writing {
  readonly where: string;
  /** 0644 if absent. */
  readonly mode?: number;
  /** The mode of the folder, if it has to be made. */
  readonly folderMode?: number;
}

const asBytes = (content: Uint8Array | string): Uint8Array =>
  typeof content === 'string' ? Buffer.from(content, 'utf8') : content;

/**
 * Writes a file so that its name always leads to the whole old content or the whole new content, even after a power cut: a
 * temporary file beside it is written, synced and renamed, then the folder is synced. Codes `disk-…`.
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
 * Writes a file that may be lost: it is whole or absent while the power stays on, and may hold anything after a power cut. Throws
 * what the disk throws.
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

/** Removes what a failed write left. Where that fails too, a temporary file remains, which does no harm. */
const leaveNothing = (disk: Disk, path: string): void => {
  try {
    disk.remove(path);
  } catch {
    // the first failure is the one to report
  }
};
