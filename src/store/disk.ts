import fs from 'node:fs';
import { platform } from 'node:os';

/** What a path or an open file is. */
export interface Facts {
  readonly kind: 'file' | 'folder' | 'other';
  /** Bytes. */
  readonly size: number;
  /** Tells one file from another under the same name. */
  readonly identity: string;
  /** The moments at which its content and its facts last changed: while they stand, so does what is in it. */
  readonly changed: string;
}

/**
 * The few calls of the file system that the store makes, each of which may fail. Handed in, so that a test can let any of
 * them fail, or lose what was never synced.
 */
export interface Disk {
  /** `append` makes the file where there is none; `fresh` empties it where there is one. None of them ever waits on a pipe. */
  open(path: string, how: 'read' | 'read-linked' | 'append' | 'fresh', mode?: number): number;
  /** What an open file is. */
  facts(fd: number): Facts;
  /** What stands under a path, links not followed; `undefined` where nothing does. */
  look(path: string): Facts | undefined;
  /** How many bytes were read into `into`, from where the last read ended or from byte `at`; 0 at the end. */
  read(fd: number, into: Uint8Array, at?: number): number;
  /** How many of the bytes were written, which may be fewer. */
  write(fd: number, bytes: Uint8Array): number;
  truncate(fd: number, length: number): void;
  /** Returns once what was written, and the length, would survive a power cut. */
  syncData(fd: number): void;
  close(fd: number): void;
  /** Returns once the names in a folder would survive a power cut. */
  syncFolder(path: string): void;
  /** Makes a folder and those above it; the topmost that it had to make, or `undefined`. */
  makeFolder(path: string, mode?: number): string | undefined;
  /** Names, sorted; none where there is no such folder. */
  list(path: string): readonly string[];
  rename(from: string, to: string): void;
  /** A file, or a folder with all in it; nothing where there is none. */
  remove(path: string): void;
  /** The one true path of a folder, links followed. */
  real(path: string): string;
}

const { O_RDONLY, O_WRONLY, O_CREAT, O_APPEND, O_TRUNC } = fs.constants;
// neither exists on every system; where one is missing the facts of the open file still tell
const O_NOFOLLOW: number = fs.constants.O_NOFOLLOW ?? 0;
const O_NONBLOCK: number = fs.constants.O_NONBLOCK ?? 0;

const flags = {
  read: O_RDONLY | O_NOFOLLOW | O_NONBLOCK,
  'read-linked': O_RDONLY | O_NONBLOCK,
  append: O_WRONLY | O_CREAT | O_APPEND | O_NOFOLLOW | O_NONBLOCK,
  fresh: O_WRONLY | O_CREAT | O_TRUNC | O_NOFOLLOW | O_NONBLOCK,
} as const;

const factsOf = (stats: fs.BigIntStats): Facts => ({
  kind: stats.isFile() ? 'file' : stats.isDirectory() ? 'folder' : 'other',
  size: Number(stats.size),
  identity: `${stats.dev}:${stats.ino}`,
  changed: `${stats.mtimeNs}:${stats.ctimeNs}`,
});

const nothingWhereAbsent = <T>(work: () => T, nothing: T): T => {
  try {
    return work();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return nothing;
    throw error;
  }
};

const syncFolder = (path: string): void => {
  if (platform() === 'win32') return; // folders cannot be opened there, and renames are journalled by the file system
  const fd = fs.openSync(path, O_RDONLY);
  try {
    fs.fsyncSync(fd);
  } finally {
    fs.closeSync(fd);
  }
};

const makeFolder = (path: string, mode?: number): string | undefined => {
  const topmost = fs.mkdirSync(path, { recursive: true });
  if (topmost !== undefined && mode !== undefined) fs.chmodSync(path, mode);
  return topmost;
};

/** The machine's own file system. */
export const realDisk: Disk = {
  open: (path, how, mode = 0o644) => {
    const fd = fs.openSync(path, flags[how], mode);
    if (how === 'fresh') fs.fchmodSync(fd, mode); // whatever the umask says: a record is to be read by others, a key is not
    return fd;
  },
  facts: (fd) => factsOf(fs.fstatSync(fd, { bigint: true })),
  look: (path) => nothingWhereAbsent(() => factsOf(fs.lstatSync(path, { bigint: true })), undefined),
  read: (fd, into, at) => fs.readSync(fd, into, 0, into.length, at ?? null),
  write: (fd, bytes) => fs.writeSync(fd, bytes, 0, bytes.length, null),
  truncate: fs.ftruncateSync,
  syncData: fs.fdatasyncSync,
  close: fs.closeSync,
  syncFolder,
  makeFolder,
  list: (path) => nothingWhereAbsent(() => fs.readdirSync(path).toSorted(), []),
  rename: fs.renameSync,
  remove: (path) => fs.rmSync(path, { recursive: true, force: true }),
  real: (path) => fs.realpathSync(path),
};
