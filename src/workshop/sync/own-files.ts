import { ok, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../../store/disk.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { extensionOf, readHashed } from '../../store/hashed-file.ts';
import { inState, isTemporary, stateFolders } from '../../store/layout.ts';
import { readFile } from '../../store/read-file.ts';
import { stateFile } from '../../store/state-files.ts';
import type { StateTree } from './tree.ts';

/** A file of the state folder that is not shared, and why. */
export interface Left {
  readonly path: string;
  readonly why: string;
}

/** The files of a state folder that may be shared, and those with such a name that may not. */
export interface OwnFiles {
  readonly files: readonly string[];
  readonly left: readonly Left[];
}

const deepest = 5;

/** Goes through dryfit's own folders, without following links. */
export const ownFilesOn = (disk: Disk, state: string): Outcome<OwnFiles> =>
  onDisk(state, () => {
    const files: string[] = [];
    const left: Left[] = [];
    const own: ReadonlySet<string> = new Set(
      Object.values(stateFolders).filter((name) => name !== stateFolders.scriptedKeys),
    );
    const walk = (folder: string, depth: number): void => {
      for (const name of disk.list(folder === '' ? state : inState(state, folder))) {
        const path = folder === '' ? name : `${folder}/${name}`;
        if (isTemporary(name)) continue;
        const kind = disk.look(inState(state, path))?.kind;
        const isOwnFolder = kind === 'folder' && (folder === '' ? own.has(name) : depth < deepest);
        if (isOwnFolder) walk(path, depth + 1);
        if (stateFile(path) === undefined || kind === undefined) continue;
        if (kind === 'file') files.push(path);
        else left.push({ path, why: kind === 'other' ? 'a link' : 'a folder' });
      }
    };
    walk('', 0);
    return { files, left };
  });

const privateKey = /-----BEGIN [A-Z ]*PRIVATE KEY-----/;
const head = 4096;
/** In bytes: a private key has a few thousand. */
const largestKey = 64 * 1024;

const looksPrivate = (bytes: Uint8Array): boolean =>
  bytes.length <= largestKey && privateKey.test(Buffer.from(bytes.subarray(0, head)).toString('latin1'));

/** True for a small file that holds a private key. */
export const isPrivateKey = (disk: Disk, path: string): boolean => {
  const bytes = readFile(disk, path, { where: path, limit: largestKey });
  return bytes.ok && looksPrivate(bytes.value);
};

/**
 * Which of the files are new to a commit, or changed since. What is named by its hash, a record and a torn piece never change once
 * they are shared; a new file that is not what its name says is left out, and so is whatever holds a private key.
 */
export const toShare = (disk: Disk, state: string, { files, left }: OwnFiles, shared: StateTree): OwnFiles => {
  const more: Left[] = [];
  const wanted = files.filter((path) => {
    const file = stateFile(path);
    if (file === undefined) return false;
    const isFixed = file.kind === 'hashed' || file.kind === 'record' || file.kind === 'torn';
    if (isFixed && shared.has(path)) return false;
    if (file.kind === 'hashed' && !readHashed(disk, state, file.folder, file.hash, extensionOf(path)).ok) {
      more.push({ path, why: 'its content is not the one that its name says' });
      return false;
    }
    if (file.kind === 'journal' || !isPrivateKey(disk, inState(state, path))) return true;
    more.push({ path, why: 'a private key' });
    return false;
  });
  return { files: wanted, left: [...left, ...more] };
};

/** How a file that is not dryfit's own is named where it is left out. */
export const strangerLeft = (disk: Disk, state: string, path: string): Outcome<Left> => {
  if (path.endsWith('/')) return ok({ path, why: 'a git repository of its own' });
  const facts = onDisk(path, () => disk.look(inState(state, path)));
  if (!facts.ok) return facts;
  if (facts.value?.kind === 'other') return ok({ path, why: 'a link' });
  const isKey =
    path.startsWith(`${stateFolders.scriptedKeys}/`) ||
    path.endsWith('.key') ||
    isPrivateKey(disk, inState(state, path));
  return ok({ path, why: isKey ? 'a private key' : 'not a file of dryfit' });
};
