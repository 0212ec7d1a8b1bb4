import fs from 'node:fs';
import { platform } from 'node:os';
import { dirname } from 'node:path';

/** What a path or an open file is. */
export interface Facts {
  readonly kind: 'file' | 'folder' | 'other';
  /** In bytes. */
  readonly size: number;
  /** Two files that had the same name at different times have different identities. */
  readonly identity: string;
  /** When the content and the facts last changed. While this is the same, so is the content. */
  readonly changed: string;
}

/**
 * The few calls of the file system that the store makes. Each may fail. It is passed in, so that a test can let any call fail, or
 * lose what was never synced.
 */
export interface Disk {
  /**
   * `append` creates a missing file, `extend` needs it to be there, `fresh` creates it or empties it. None of them ever waits on a
   * pipe. `mode` as in chmod(2).
   */
  open(path: string, how: 'read' | 'read-linked' | 'append' | 'extend' | 'fresh', mode?: number): number;
  /** What an open file is. */
  facts(fd: number): Facts;
  /** What a path names, without following links; `undefined` where nothing has that name. */
  look(path: string): Facts | undefined;
  /** Reads into `into`, from where the last read ended or from byte `at`. Gives the number of bytes read, 0 at the end of the file. */
  read(fd: number, into: Uint8Array, at?: number): number;
  /** Gives the number of bytes written, which may be fewer than there are. */
  write(fd: number, bytes: Uint8Array): number;
  /** Cuts the file to `length` bytes. */
  truncate(fd: number, length: number): void;
  /** Returns once the content and the length would survive a power cut. */
  syncData(fd: number): void;
  close(fd: number): void;
  /** Returns once the names in a folder would survive a power cut. */
  syncFolder(path: string): void;
  /**
   * Makes a folder and the missing ones above it, but not `within` or anything above that. Gives the topmost folder that it made,
   * or `undefined` where all existed.
   */
  makeFolder(path: string, mode?: number, within?: string): string | undefined;
  /** The names in a folder, sorted; none where the folder does not exist. */
  list(path: string): readonly string[];
  rename(from: string, to: string): void;
  /** Removes a file, or a folder with all its content. Does nothing where there is none. */
  remove(path: string): void;
  /** The real path of a file or folder, with all links followed. */
  real(path: string): string;
}

const { O_RDONLY, O_WRONLY, O_CREAT, O_APPEND, O_TRUNC } = fs.constants;
// not every system has these two; where one is missing, the facts of the open file still show a link or a pipe
const O_NOFOLLOW: number = fs.constants.O_NOFOLLOW ?? 0;
const O_NONBLOCK: number = fs.constants.O_NONBLOCK ?? 0;

const flags = {
  read: O_RDONLY | O_NOFOLLOW | O_NONBLOCK,
  'read-linked': O_RDONLY | O_NONBLOCK,
  append: O_WRONLY | O_CREAT | O_APPEND | O_NOFOLLOW | O_NONBLOCK,
  extend: O_WRONLY | O_APPEND | O_NOFOLLOW | O_NONBLOCK,
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
  if (platform() === 'win32') return; // Windows cannot open folders, and its file system journals renames
  const fd = fs.openSync(path, O_RDONLY);
  try {
    fs.fsyncSync(fd);
  } finally {
    fs.closeSync(fd);
  }
};

const missing = (path: string): Error =>
  Object.assign(new Error(`ENOENT: mkdir '${path}'`), { code: 'ENOENT', syscall: 'mkdir' });

const isFolder = (path: string): boolean => fs.statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;

/** Makes one folder. `false` where it exists, `above` where the one above it is missing. */
const makeOne = (path: string, mode: number | undefined): boolean | 'above' => {
  try {
    fs.mkdirSync(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT') return 'above';
    if (code === 'EEXIST' && isFolder(path)) return false;
    throw error;
  }
  if (mode !== undefined) fs.chmodSync(path, mode);
  return true;
};

/**
 * One call for each folder: node's own `recursive` answers ENOENT where the system said EIO, EROFS or ENOSPC, and makes every
 * folder above.
 */
const makeFolder = (path: string, mode?: number, within?: string): string | undefined => {
  if (path === within) {
    if (!isFolder(path)) throw missing(path);
    return undefined;
  }
  const made = makeOne(path, mode);
  if (made !== 'above') return made ? path : undefined;
  const above = dirname(path);
  if (above === path) throw missing(path);
  const topmost = makeFolder(above, undefined, within);
  return makeOne(path, mode) === true ? (topmost ?? path) : topmost;
};

/** The machine's own file system. */
export const realDisk: Disk = {
  open: (path, how, mode = 0o644) => {
    const fd = fs.openSync(path, flags[how], mode);
    if (how === 'fresh') fs.fchmodSync(fd, mode); // regardless of the umask: others are to read a record, and nobody else a key
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
