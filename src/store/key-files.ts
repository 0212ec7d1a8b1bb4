import { join } from 'node:path';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { inState, keyFileName, stateFolders } from './layout.ts';
import { readText, type ReadOptions } from './read-file.ts';
import { writeFile } from './write-file.ts';

/** The folder of private keys: each person's own in the configuration folder, those of a rehearsal in its state. */
export const ownKeysFolder = (config: string): string => join(config, 'keys');
export const scriptedKeys = (state: string): string => inState(state, stateFolders.scriptedKeys);

/** In bytes. A key file has some hundred. */
const limit = 64 * 1024;

const keyPath = (folder: string, person: string): Outcome<string> => {
  const name = keyFileName(person);
  return name === undefined
    ? err(usage('person-name', `${JSON.stringify(person)} is no id of a person`, 'Use small letters, digits and -'))
    : ok(join(folder, name));
};

/** The text of a key file, and where it was read. */
export interface KeyFile {
  readonly path: string;
  readonly text: string;
}

const readKeyFileFrom = (disk: Disk, path: string, links: Pick<ReadOptions, 'links'>): Outcome<KeyFile> => {
  const text = readText(disk, path, { where: path, limit, ...links });
  return text.ok ? ok({ path, text: text.value }) : text;
};

/** A person's private key file on this machine. Code `file-missing` where they have none here. */
export const readKeyFileOf = (disk: Disk, folder: string, person: string): Outcome<KeyFile> => {
  const path = keyPath(folder, person);
  return path.ok ? readKeyFileFrom(disk, path.value, {}) : path;
};

/** A private key file wherever a person has it, links followed: `--key FILE`. */
export const readKeyFileAt = (disk: Disk, path: string): Outcome<KeyFile> =>
  readKeyFileFrom(disk, path, { links: 'follow' });

/** Keeps a person's private key where nobody else on the machine may read it. */
export const writeKeyFileOf = (disk: Disk, folder: string, person: string, text: string): Outcome<void> => {
  const path = keyPath(folder, person);
  return path.ok ? writeFile(disk, path.value, text, { where: path.value, mode: 0o600, folderMode: 0o700 }) : path;
};

/** Writes a private key to a file that the person chose. */
export const writeKeyFileAt = (disk: Disk, path: string, text: string): Outcome<void> =>
  writeFile(disk, path, text, { where: path, mode: 0o600 });

/**
 * Replaces a private key file; where its path is a link, the file that the link names. Nothing is written where the file was
 * changed after it was read. Codes `disk-…`.
 */
export const rewriteKeyFile = (disk: Disk, { path, text: before }: KeyFile, text: string): Outcome<void> => {
  const now = readKeyFileAt(disk, path);
  if (!now.ok || now.value.text !== before) return now.ok ? ok(undefined) : now;
  const real = onDisk(path, () => disk.real(path));
  return real.ok ? writeKeyFileAt(disk, real.value, text) : real;
};

const end = '.key';

/** The people whose private keys are in a folder. */
export const peopleWithKeys = (disk: Disk, folder: string): Outcome<readonly string[]> =>
  onDisk(folder, () =>
    disk
      .list(folder)
      .filter((name) => name.endsWith(end) && keyFileName(name.slice(0, -end.length)) === name)
      .map((name) => name.slice(0, -end.length)),
  );
