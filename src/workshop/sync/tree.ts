import { ok, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../../store/disk.ts';
import type { Git } from '../../store/git/git.ts';
import { stateFile } from '../../store/state-files.ts';

/** One entry of a tree of git. */
export interface TreeEntry {
  /** `100644`, `100755`, `120000` (a link), `160000` (another repository). */
  readonly mode: string;
  readonly id: string;
  /** In bytes; 0 for what is not a file. */
  readonly size: number;
}

/** The entries of a commit in the state folder, by their path in it. */
export type StateTree = ReadonlyMap<string, TreeEntry>;

/** The state as it is on the disk, and what this side has committed of it. */
export interface Here {
  readonly disk: Disk;
  readonly state: string;
  readonly tree: StateTree;
  /** Compares journals with the disk even where the commit is the same: the disk may have less than was shared. */
  readonly comparesAll?: true;
}

const isFile = ({ mode }: TreeEntry): boolean => mode === '100644' || mode === '100755';

/** True for an entry that is one of dryfit's own files, by its path and kind. */
export const isOwnEntry = (path: string, entry: TreeEntry): boolean => isFile(entry) && stateFile(path) !== undefined;

/** `MODE TYPE ID SIZE TAB PATH` */
const entryForm = /^(\d{6}) \w+ ([0-9a-f]{40,64}) +(\d+|-)\t([^]+)$/;

export const treeIn = (text: string, prefix: string): StateTree => {
  const tree = new Map<string, TreeEntry>();
  for (const line of text.split('\0')) {
    const [, mode = '', id = '', size = '', path = ''] = entryForm.exec(line) ?? [];
    if (path.startsWith(prefix) && path !== '')
      tree.set(path.slice(prefix.length), { mode, id, size: size === '-' ? 0 : Number(size) });
  }
  return tree;
};

/** What a commit holds of the state folder. */
export const treeOf = (git: Git, commit: string | undefined): Outcome<StateTree> => {
  if (commit === undefined) return ok(new Map());
  const { prefix } = git.repository;
  const listed = git.run([
    'ls-tree',
    '-r',
    '-z',
    '-l',
    '--full-tree',
    commit,
    ...(prefix === '' ? [] : ['--', prefix]),
  ]);
  return listed.ok ? ok(treeIn(listed.value, prefix)) : listed;
};

/** The commit that a name stands for, or `undefined` where there is none. */
export const commitOf = (git: Git, name: string): string | undefined => {
  const found = git.run(['rev-parse', '--verify', '--quiet', '--end-of-options', `${name}^{commit}`]);
  return found.ok ? found.value.trim() : undefined;
};

/** In bytes, of what is asked for at once. */
const share = 64 * 1024 * 1024;

/** The ids in groups that are small enough to be read together. */
const inShares = (
  wanted: readonly { readonly id: string; readonly size: number }[],
): readonly (readonly string[])[] => {
  const groups: string[][] = [];
  let room = 0;
  for (const { id, size } of wanted) {
    if (groups.length === 0 || room < size) {
      groups.push([]);
      room = share;
    }
    groups.at(-1)?.push(id);
    room -= size;
  }
  return groups;
};

const lineFeed = 0x0a;

/** `ID blob SIZE LF CONTENT LF …` */
const contentsIn = (all: Buffer, each: (id: string, content: Buffer) => void): void => {
  for (let at = 0; at < all.length;) {
    const end = all.indexOf(lineFeed, at);
    const [id = '', kind, size] = all.toString('latin1', at, end === -1 ? all.length : end).split(' ');
    if (end === -1 || kind !== 'blob') return;
    const from = end + 1;
    each(id, all.subarray(from, from + Number(size)));
    at = from + Number(size) + 1;
  }
};

/** Reads the contents of entries, some at a time, and gives each to `each` by its id. */
export const readContents = (
  git: Git,
  wanted: readonly TreeEntry[],
  each: (id: string, content: Buffer) => void,
): Outcome<true> => {
  for (const ids of inShares(wanted)) {
    const read = git.bytes(['cat-file', '--batch'], `${ids.join('\n')}\n`);
    if (!read.ok) return read;
    contentsIn(read.value, each);
  }
  return ok(true);
};
