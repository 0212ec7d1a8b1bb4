import { err, ok, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../../store/disk.ts';
import { ownIndex, type Git } from '../../store/git/git.ts';
import type { ProgramVariables } from '../../store/git/program.ts';
import { inState } from '../../store/layout.ts';
import { readFile } from '../../store/read-file.ts';
import { stateFile } from '../../store/state-files.ts';
import { wholeLines } from './journals.ts';
import { isOwnEntry, type StateTree } from './tree.ts';

/*
 * Files become content of git without git's own way through the work tree: their bytes are taken as they are, whatever attributes
 * and filters say of them, and what the person has staged beside them stays staged.
 */

/** In bytes, of a journal that is shared. */
const largest = 1024 ** 3;

/** A path of the state with the id of its content. */
export interface Blob {
  readonly path: string;
  readonly id: string;
}

/** The content of a journal without a torn tail, where it has one. */
const cutJournal = (disk: Disk, state: string, path: string): Outcome<Buffer | undefined> => {
  if (stateFile(path)?.kind !== 'journal') return ok(undefined);
  const bytes = readFile(disk, inState(state, path), { where: path, limit: largest });
  if (!bytes.ok) return bytes;
  const all = Buffer.from(bytes.value.buffer, bytes.value.byteOffset, bytes.value.length);
  const whole = wholeLines(all);
  return ok(whole.length === all.length ? undefined : whole);
};

/** Lays the content of files down in the repository. */
export const blobsOf = (git: Git, disk: Disk, state: string, paths: readonly string[]): Outcome<readonly Blob[]> => {
  const asTheyAre: string[] = [];
  const blobs: Blob[] = [];
  for (const path of paths) {
    const cut = cutJournal(disk, state, path);
    if (!cut.ok) return cut;
    if (cut.value === undefined) {
      asTheyAre.push(path);
      continue;
    }
    const hashed = git.bytes(['hash-object', '-w', '--stdin'], cut.value);
    if (!hashed.ok) return hashed;
    blobs.push({ path, id: hashed.value.toString('latin1').trim() });
  }
  if (asTheyAre.length === 0) return ok(blobs);
  // full paths, because git reads these from the top of the work tree
  const input = asTheyAre.map((path) => `${inState(state, path)}\n`).join('');
  const hashed = git.bytes(['hash-object', '-w', '--no-filters', '--stdin-paths'], input);
  if (!hashed.ok) return hashed;
  const ids = hashed.value.toString('latin1').trimEnd().split('\n');
  return ok([...blobs, ...asTheyAre.map((path, index) => ({ path, id: ids[index] ?? '' }))]);
};

const put = (git: Git, index: ProgramVariables, blobs: readonly Blob[]): Outcome<unknown> => {
  const { prefix } = git.repository;
  const info = blobs.map(({ path, id }) => `100644 ${id}\t${prefix}${path}\0`).join('');
  return blobs.length === 0 ? ok(undefined) : git.bytes(['update-index', '-z', '--index-info'], info, index);
};

/** git reads these paths from the state folder, where it runs, and those of `put` from the top. */
const drop = (git: Git, index: ProgramVariables, paths: readonly string[]): Outcome<unknown> => {
  const argv = ['update-index', '--force-remove', '-z', '--stdin'];
  return paths.length === 0 ? ok(undefined) : git.bytes(argv, paths.map((path) => `${path}\0`).join(''), index);
};

/** The index of a commit, without what is staged beside it. */
const indexOf = (git: Git, commit: string | undefined): Outcome<ProgramVariables> => {
  const index = ownIndex(git, 'index');
  if (commit === undefined) {
    const emptied = git.run(['read-tree', '--empty'], index);
    return emptied.ok ? ok(index) : emptied;
  }
  // with -m what git knows of unchanged files is kept, and it need not read them again; an unreadable index is made anew
  if (git.run(['read-tree', '-m', commit], index).ok) return ok(index);
  const anew = { GIT_INDEX_FILE: `${index['GIT_INDEX_FILE']}-anew` };
  const read = git.run(['read-tree', commit], anew);
  return read.ok ? ok(anew) : read;
};

/** A tree that is about to be committed, and the index that holds it. */
export interface Prepared {
  readonly index: ProgramVariables;
  readonly tree: string;
}

/** The tree of a commit with other content at some paths. @param index one that has the commit's entries already. */
export const prepare = (
  git: Git,
  commit: string | undefined,
  blobs: readonly Blob[],
  dropped: readonly string[],
  index: Outcome<ProgramVariables> = indexOf(git, commit),
): Outcome<Prepared> => {
  if (!index.ok) return index;
  const without = drop(git, index.value, dropped);
  if (!without.ok) return without;
  const withAll = put(git, index.value, blobs);
  if (!withAll.ok) return withAll;
  const tree = git.run(['write-tree'], index.value);
  return tree.ok ? ok({ index: index.value, tree: tree.value.trim() }) : err(tree.fault);
};

export const treeIdOf = (git: Git, commit: string | undefined): string | undefined => {
  if (commit === undefined) return undefined;
  const found = git.run(['rev-parse', '--verify', '--quiet', `${commit}^{tree}`]);
  return found.ok ? found.value.trim() : undefined;
};

/** Commits a prepared tree on the branch, by the person's own `git commit`: with their hooks, their name and their signature. */
export const commitPrepared = (git: Git, { index }: Prepared): Outcome<unknown> =>
  git.run(['commit', '--quiet', '--no-edit', '--message', 'dryfit: entries'], index);

/** A merge of both commits with a prepared tree. */
export const mergeCommit = (git: Git, { tree }: Prepared, parents: readonly string[]): Outcome<string> => {
  const signs = git.run(['config', '--type=bool', '--get', 'commit.gpgsign']);
  const made = git.run([
    'commit-tree',
    ...(signs.ok && signs.value.trim() === 'true' ? ['-S'] : []),
    ...parents.flatMap((parent) => ['-p', parent]),
    '-m',
    'dryfit: bring both sides together',
    tree,
  ]);
  return made.ok ? ok(made.value.trim()) : made;
};

/** Makes the repository's own index say of dryfit's files what the last commit says. What else is staged there stays. */
export const alignIndex = (git: Git, tree: StateTree): Outcome<unknown> => {
  const { prefix } = git.repository;
  const listed = git.run(['ls-files', '--stage', '-z', '--full-name', '--', '.']);
  if (!listed.ok) return listed;
  const there = new Map<string, string>();
  for (const line of listed.value.split('\0')) {
    const [, id = '', path = ''] = /^\d{6} ([0-9a-f]+) \d\t([^]+)$/.exec(line) ?? [];
    if (path.startsWith(prefix) && path !== '') there.set(path.slice(prefix.length), id);
  }
  const own = [...tree].filter(([path, entry]) => isOwnEntry(path, entry));
  const changed = own.filter(([path, { id }]) => there.get(path) !== id).map(([path, { id }]) => ({ path, id }));
  const gone = [...there.keys()].filter((path) => stateFile(path) !== undefined && !tree.has(path));
  const without = drop(git, {}, gone);
  if (!without.ok) return without;
  const aligned = put(git, {}, changed);
  if (aligned.ok) git.run(['update-index', '-q', '--refresh']); // it says so by its exit code where another file was changed
  return aligned;
};
