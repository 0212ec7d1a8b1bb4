import { extname } from 'node:path';
import { err, ok, wrong, type Outcome } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk } from './disk.ts';
import { hashName, inState, isExtension, stateFolders } from './layout.ts';
import { readFile } from './read-file.ts';
import { writeFile } from './write-file.ts';

/** The folders in which each file is named by the hash of its content. */
export type HashedFolder = 'builds' | 'procedures' | 'attachments';

/** The extension that a kept file has after its hash. */
export const extensionOf = (path: string): string => {
  const extension = extname(path).slice(1).toLowerCase();
  return isExtension(extension) ? extension : 'bin';
};

/** In bytes; a larger file is refused. Texts are small (a build of two thousand lots has a quarter of a megabyte), photos are not. */
export const hashedLimits: Readonly<Record<HashedFolder, number>> = {
  builds: 2 * 1024 * 1024,
  procedures: 16 * 1024 * 1024,
  attachments: 256 * 1024 * 1024,
};

const pathOf = (folder: HashedFolder, hash: string, extension: string): Outcome<string> => {
  const name = hashName(hash, extension);
  return name === undefined
    ? err(
        wrong(
          'file-name',
          `${hash}.${extension} is no name for a kept file`,
          'Use a short plain extension such as jpg',
        ),
      )
    : ok(`${stateFolders[folder]}/${name}`);
};

/**
 * Reads a file by its hash, and checks that its content still has that hash.
 * Codes: `file-name`, `file-changed`, those of `readFile`.
 */
export const readHashed = (
  disk: Disk,
  state: string,
  folder: HashedFolder,
  hash: string,
  extension: string,
): Outcome<Uint8Array> => {
  const path = pathOf(folder, hash, extension);
  if (!path.ok) return path;
  const bytes = readFile(disk, inState(state, path.value), { where: path.value, limit: hashedLimits[folder] });
  if (!bytes.ok || sha256Hex(bytes.value) === hash) return bytes;
  const todo = 'Take the file back from another copy: its name tells what must be in it';
  return err(wrong('file-changed', 'its content is not the one that its name tells', todo, path.value));
};

/** Keeps content under its hash, and gives the hash. A file that exists already is checked, not written again. */
export const keepHashed = (
  disk: Disk,
  state: string,
  folder: HashedFolder,
  content: Uint8Array,
  extension: string,
): Outcome<string> => {
  const hash = sha256Hex(content);
  const path = pathOf(folder, hash, extension);
  if (!path.ok) return path;
  if (readHashed(disk, state, folder, hash, extension).ok) return ok(hash);
  const written = writeFile(disk, inState(state, path.value), content, { where: path.value });
  return written.ok ? ok(hash) : written;
};
