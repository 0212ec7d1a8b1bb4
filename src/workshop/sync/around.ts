import { err, ok, refusalNamed, wrong, type Outcome } from '../../fault/fault.ts';
import type { Git } from '../../store/git/git.ts';
import type { ProgramVariables } from '../../store/git/program.ts';
import { prepare } from './commit.ts';
import { someOf } from './incoming.ts';
import { isOwnEntry, type StateTree } from './tree.ts';

/*
 * A state may be a folder of a larger repository of the person's. What changed there outside the state is merged by git itself, file
 * by file; what both sides changed, and what is not a plain file, is left to the person.
 */

interface Change {
  readonly path: string;
  readonly mode: string;
}

/** `:OLDMODE NEWMODE OLDID NEWID STATUS NUL PATH NUL …` */
const changesIn = (text: string): readonly Change[] => {
  const parts = text.split('\0');
  const found: Change[] = [];
  for (let at = 0; at + 1 < parts.length; at += 2) {
    const [, mode] = /^:\d{6} (\d{6}) /.exec(parts[at] ?? '') ?? [];
    if (mode !== undefined) found.push({ path: parts[at + 1] ?? '', mode });
  }
  return found;
};

const emptyTreeOf = (git: Git): Outcome<string> => {
  const made = git.bytes(['mktree'], '');
  return made.ok ? ok(made.value.toString('latin1').trim()) : made;
};

/** A tree that holds what a commit holds outside the state, and our own state. */
const withOurState = (git: Git, commit: string, name: string, its: StateTree, ours: StateTree): Outcome<string> => {
  const index: ProgramVariables = { GIT_INDEX_FILE: `${git.scratch}/${name}` };
  const read = git.run(['read-tree', commit], index);
  if (!read.ok) return read;
  const blobs = [...ours].filter(([path, entry]) => isOwnEntry(path, entry)).map(([path, { id }]) => ({ path, id }));
  const prepared = prepare(
    git,
    commit,
    blobs,
    [...its.keys()].filter((path) => !ours.has(path)),
    ok(index),
  );
  return prepared.ok ? ok(prepared.value.tree) : prepared;
};

/**
 * What the other side changed outside the state, merged with ours: a tree of ours with these changes, or `undefined` where there are
 * none. Nothing is written outside the repository.
 * @param trees what each commit holds of the state.
 * Codes `git-stranger`, `git-conflict`, `git`.
 */
export const mergedAround = (
  git: Git,
  commits: { readonly base: string | undefined; readonly ours: string; readonly theirs: string },
  trees: { readonly base: StateTree; readonly ours: StateTree; readonly theirs: StateTree },
): Outcome<string | undefined> => {
  const { prefix } = git.repository;
  if (prefix === '') return ok(undefined);
  const from = commits.base === undefined ? emptyTreeOf(git) : ok(commits.base);
  if (!from.ok) return from;
  const argv = ['diff-tree', '-r', '-z', '--raw', '--no-renames', '--no-ext-diff', '--no-textconv', '--full-index'];
  const compared = git.run([...argv, from.value, commits.theirs]);
  if (!compared.ok) return compared;
  const changes = changesIn(compared.value).filter(({ path }) => !path.startsWith(prefix));
  if (changes.length === 0) return ok(undefined);
  const isPlain = ({ mode, path }: Change): boolean =>
    commits.base !== undefined && ['100644', '100755', '000000'].includes(mode) && !prefix.startsWith(`${path}/`);
  const odd = changes.filter((change) => !isPlain(change)).map(({ path }) => path);
  if (odd.length > 0)
    return err(
      refusalNamed(
        'git-stranger',
        `the other side brings what is not a plain file, outside the state: ${someOf(odd)}`,
        'Nothing was taken. Look at it and bring it in yourself with git pull; then sync again',
      ),
    );
  const before = withOurState(git, from.value, 'around-base', trees.base, trees.ours);
  if (!before.ok) return before;
  const after = withOurState(git, commits.theirs, 'around-theirs', trees.theirs, trees.ours);
  if (!after.ok) return after;
  const index: ProgramVariables = { GIT_INDEX_FILE: `${git.scratch}/around` };
  const ours = git.run(['read-tree', commits.ours], index);
  if (!ours.ok) return ours;
  const merged = git.run(['read-tree', '-i', '-m', '--aggressive', before.value, commits.ours, after.value], index);
  if (!merged.ok) return merged;
  const open = git.run(['ls-files', '--unmerged', '-z', '--full-name', '--', ':/'], {
    ...index,
    GIT_LITERAL_PATHSPECS: '0',
  });
  if (!open.ok) return open;
  const paths = [...new Set(open.value.split('\0').flatMap((line) => line.split('\t')[1] ?? []))];
  if (paths.length > 0)
    return err(
      wrong(
        'git-conflict',
        `both sides changed ${someOf(paths)}, outside the state`,
        'Nothing was taken. Merge it by hand with git pull, then sync again',
      ),
    );
  const tree = git.run(['write-tree'], index);
  return tree.ok ? ok(tree.value.trim()) : tree;
};
