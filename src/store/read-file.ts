import { isUtf8 } from 'node:buffer';
import { err, FaultError, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { diskFault, onDisk } from './disk-fault.ts';

/** How to read a file that may be of any kind. */
export interface ReadOptions {
  /** How a fault names the file. */
  readonly where: string;
  /** In bytes; a larger file is refused. */
  readonly limit: number;
  /** A path that a person named may be a link; a name inside a state may not. */
  readonly links?: 'follow';
}

const tooLong = (where: string, limit: number): Fault =>
  wrong('file-long', `larger than ${limit} bytes`, 'Give the right file: none of this kind is that large', where);

const fill = (disk: Disk, fd: number, into: Uint8Array): number => {
  let length = 0;
  while (length < into.length) {
    const count = disk.read(fd, into.subarray(length));
    if (count === 0) break;
    length += count;
  }
  return length;
};

const readOpen = (disk: Disk, fd: number, { where, limit }: ReadOptions): Uint8Array => {
  const { kind, size } = disk.facts(fd);
  if (kind !== 'file') throw new FaultError(diskFault('file-kind', 'not a regular file', 'Give a file', where));
  if (size > limit) throw new FaultError(tooLong(where, limit));
  // one byte more than its size, so that a file that grows meanwhile is noticed
  const bytes = Buffer.allocUnsafeSlow(size + 1);
  const length = fill(disk, fd, bytes);
  if (length > limit) throw new FaultError(tooLong(where, limit));
  return bytes.subarray(0, Math.min(length, size));
};

/**
 * Reads the bytes of a file, up to a limit. A pipe, a device, a folder and a file that is too large are refused.
 * Codes `file-missing`, `file-kind`, `file-long`, `disk-…`.
 */
export const readFile = (disk: Disk, path: string, reading: ReadOptions): Outcome<Uint8Array> =>
  onDisk(reading.where, () => {
    const fd = disk.open(path, reading.links === 'follow' ? 'read-linked' : 'read');
    try {
      return readOpen(disk, fd, reading);
    } finally {
      disk.close(fd);
    }
  });

/** Reads the text of a file, which must be UTF-8. Codes: those of `readFile`, and `file-text`. */
export const readText = (disk: Disk, path: string, reading: ReadOptions): Outcome<string> => {
  const bytes = readFile(disk, path, reading);
  if (!bytes.ok) return bytes;
  return isUtf8(bytes.value)
    ? ok(Buffer.from(bytes.value.buffer, bytes.value.byteOffset, bytes.value.length).toString('utf8'))
    : err(wrong('file-text', 'not text (UTF-8)', 'Give a text file', reading.where));
};
