import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { err, ok, wrong, type Outcome } from '../../fault/fault.ts';
import { unknownConfirm } from '../../store/git/admit.ts';
import type { Git } from '../../store/git/git.ts';
import { firstStray } from '../../store/stray-folders.ts';
import { stateFile } from '../../store/state-files.ts';
import type { Workplace } from '../place.ts';
import { mergedAround } from './around.ts';
import { alignIndex, blobsOf, commitPrepared, mergeCommit, prepare, treeIdOf } from './commit.ts';
import { incomingFrom, type Incoming } from './incoming.ts';
import { lookAt } from './look.ts';
import { ownFilesOn, strangerLeft, toShare, type Left } from './own-files.ts';
import { branchOf, fetchFrom, pushTo, remoteOf, type Remote } from './remote.ts';
import { bringIn, diskWith } from './staged.ts';
import { commitOf, treeOf, type StateTree } from './tree.ts';

/*
 * Shares a state through the person's own git: commit, fetch, bring together, push. dryfit decides itself what is shared and what is
 * taken in; git carries it. So nothing that a received repository says of its files takes part.
 */

export interface Synced {
  /** Messages for the person, one line each. */
  readonly told: readonly string[];
  readonly pushed: boolean;
  /** What is in the state folder and was not shared. */
  readonly left: readonly Left[];
}

/** One sync: where it works, and what it has said so far. */
interface Sync {
  readonly git: Git;
  readonly place: Workplace;
  readonly branch: string;
  readonly told: string[];
}

/** What git is in the middle of, by the files that it keeps meanwhile (gitrepository-layout(5)). */
const unfinished: Readonly<Record<string, string>> = {
  MERGE_HEAD: 'a merge',
  'rebase-merge': 'a rebase',
  'rebase-apply': 'a rebase',
  CHERRY_PICK_HEAD: 'a cherry-pick',
  REVERT_HEAD: 'a revert',
};

const nothingUnfinished = ({ repository }: Git): Outcome<true> => {
  const found = Object.entries(unfinished).find(([name]) => existsSync(join(repository.gitDir, name)));
  return found === undefined
    ? ok(true)
    : err(
        wrong(
          'git-unfinished',
          `git is in the middle of ${found[1]} in this repository`,
          'Finish it with git, or give it up (git merge --abort, git rebase --abort); then sync',
        ),
      );
};

interface Shared {
  readonly head: string | undefined;
  readonly tree: StateTree;
  readonly left: readonly Left[];
}

/** Commits what is new in the state folder. */
const commitOwn = ({ git, place, branch }: Sync): Outcome<Shared & { readonly isNew: boolean }> => {
  const { disk, state } = place;
  const head = commitOf(git, branch);
  const tree = treeOf(git, head);
  if (!tree.ok) return tree;
  const found = ownFilesOn(disk, state);
  if (!found.ok) return found;
  const { files, left } = toShare(disk, state, found.value, tree.value);
  const blobs = blobsOf(git, disk, state, files);
  if (!blobs.ok) return blobs;
  const prepared = prepare(git, head, blobs.value, []);
  if (!prepared.ok) return prepared;
  const isNew = prepared.value.tree !== treeIdOf(git, head) && (head !== undefined || blobs.value.length > 0);
  if (isNew) {
    const done = commitPrepared(git, prepared.value);
    if (!done.ok) return done;
  }
  const after = commitOf(git, branch);
  const shared = isNew ? treeOf(git, after) : tree;
  return shared.ok ? ok({ head: after, tree: shared.value, left, isNew }) : shared;
};

/** What is missing in the folder and was shared before comes back; a journal that was shared is never shortened. */
const bringBack = ({ git, place, branch, told }: Sync): Outcome<true> => {
  const { disk, state } = place;
  const tree = treeOf(git, commitOf(git, branch));
  if (!tree.ok) return tree;
  const back = incomingFrom(
    git,
    { disk, state, tree: tree.value, comparesAll: true },
    tree.value,
    tree.value,
    'the last commit',
  );
  if (!back.ok) return back;
  const { staged } = back.value;
  const lost = [...staged.keys()].filter((path) => stateFile(path)?.kind !== 'attributes');
  const done = bringIn(disk, state, staged, []);
  if (!done.ok) return done;
  if (lost.length > 0) told.push(`brought back from the last commit: ${lost.slice(0, 6).join(', ')}`);
  return ok(true);
};

const baseOf = (git: Git, one: string, other: string): string | undefined => {
  const found = git.run(['merge-base', one, other]);
  return found.ok ? found.value.split('\n')[0] : undefined;
};

/** Reads and proves the state as it would be, then writes it. */
const takeIn = (
  { git, place, told }: Sync,
  { staged, replaced, told: said }: Incoming,
  around: () => Outcome<unknown>,
): Outcome<true> => {
  const { disk, state } = place;
  const looked = lookAt(
    staged.size === 0 ? place : { ...place, disk: diskWith(disk, state, staged), cache: join(git.scratch, 'cache') },
  );
  if (!looked.ok) {
    const { fault } = looked;
    return staged.size === 0
      ? looked
      : err({
          ...fault,
          what: `what comes from elsewhere does not fit: ${fault.what}`,
          todo: `Nothing was taken. ${fault.todo}`,
        });
  }
  const outside = around();
  if (!outside.ok) return outside;
  const brought = bringIn(disk, state, staged, replaced);
  if (!brought.ok) return brought;
  told.push(...said, ...looked.value.told);
  const refreshed = looked.value.refresh(disk);
  return refreshed.ok ? ok(true) : refreshed;
};

/** Brings what the remote has together with ours, and commits it. Gives the commit to share. */
const mergeWith = (sync: Sync, ours: Shared, theirs: string): Outcome<string> => {
  const { git, place, branch } = sync;
  const { disk, state } = place;
  const theirTree = treeOf(git, theirs);
  if (!theirTree.ok) return theirTree;
  const base = ours.head === undefined ? undefined : baseOf(git, ours.head, theirs);
  const baseTree = treeOf(git, base);
  if (!baseTree.ok) return baseTree;
  const incoming = incomingFrom(git, { disk, state, tree: ours.tree }, theirTree.value, baseTree.value, 'the remote');
  if (!incoming.ok) return incoming;
  const around =
    ours.head === undefined
      ? ok(undefined)
      : mergedAround(
          git,
          { base, ours: ours.head, theirs },
          { base: baseTree.value, ours: ours.tree, theirs: theirTree.value },
        );
  if (!around.ok) return around;

  const index = prepare(git, ours.head, [], []);
  if (!index.ok) return index;
  const merged = around.value;
  const inWorkTree = (): Outcome<unknown> => {
    if (merged === undefined) return ok(undefined);
    git.run(['update-index', '-q', '--refresh'], index.value.index); // else git takes unread files for changed ones
    return git.run(['read-tree', '-m', '-u', ours.head ?? '', merged], index.value.index);
  };
  const taken = takeIn(sync, incoming.value, inWorkTree);
  if (!taken.ok) return taken;

  const found = ownFilesOn(disk, state);
  if (!found.ok) return found;
  const { replaced, removed } = incoming.value;
  const dropped = [
    ...removed,
    ...[...ours.tree.keys()].filter((path) => replaced.some((folder) => path.startsWith(`${folder}/`))),
  ];
  const kept: StateTree = new Map([...ours.tree].filter(([path]) => !dropped.includes(path)));
  const { files } = toShare(disk, state, found.value, kept);
  const blobs = blobsOf(git, disk, state, files);
  if (!blobs.ok) return blobs;
  const prepared = prepare(git, ours.head, blobs.value, dropped, ok(index.value.index));
  if (!prepared.ok) return prepared;
  const isTheirs = (ours.head === undefined || base === ours.head) && prepared.value.tree === treeIdOf(git, theirs);
  const parents = ours.head === undefined ? [theirs] : [ours.head, theirs];
  const commit = isTheirs ? ok(theirs) : mergeCommit(git, prepared.value, parents);
  if (!commit.ok) return commit;
  const moved = git.run(['update-ref', '-m', 'dryfit: sync', branch, commit.value, ours.head ?? '']);
  if (!moved.ok) return moved;
  // the repository's own index follows outside the state; inside it, `alignIndex` sees to that
  const followed = merged === undefined ? moved : git.run(['read-tree', '-i', '-m', ours.head ?? '', merged]);
  return followed.ok ? ok(commit.value) : followed;
};

/** How often somebody else may push in between. */
const tries = 4;

const isAncestor = (git: Git, one: string, other: string): boolean =>
  git.run(['merge-base', '--is-ancestor', one, other]).ok;

const shareWith = (sync: Sync, remote: Remote, first: Shared): Outcome<boolean> => {
  const { git, branch, place } = sync;
  let shared = first;
  let hasLooked = false;
  for (let round = 0; round < tries; round += 1) {
    const theirs = fetchFrom(git, remote);
    if (!theirs.ok) return theirs;
    if (theirs.value !== undefined && (shared.head === undefined || !isAncestor(git, theirs.value, shared.head))) {
      const merged = mergeWith(sync, shared, theirs.value);
      if (!merged.ok) return merged;
      const tree = treeOf(git, merged.value);
      if (!tree.ok) return tree;
      shared = { ...shared, head: merged.value, tree: tree.value };
      hasLooked = true;
    } else if (!hasLooked) {
      const looked = lookAt(place);
      if (!looked.ok) return looked;
      sync.told.push(...looked.value.told);
      hasLooked = true;
    }
    if (shared.head === undefined) return ok(false);
    const pushed = pushTo(git, remote, branch);
    if (!pushed.ok) return pushed;
    if (pushed.value === 'shared') return ok(true);
  }
  return err(wrong('git-busy', 'others push to the remote all the time', 'Sync again in a while'));
};

const shownLeft = (left: readonly Left[]): readonly string[] => {
  const some = left.slice(0, 20).map(({ path, why }) => `not shared: ${path} (${why})`);
  return left.length > some.length ? [...some, `not shared: ${left.length - some.length} more`] : some;
};

/** What is in the state folder, is not dryfit's, and is not in the repository either. */
const strangers = ({ git, place }: Sync): Outcome<readonly Left[]> => {
  const others = git.run(['ls-files', '--others', '--exclude-standard', '-z', '--', '.']);
  if (!others.ok) return others;
  const left: Left[] = [];
  for (const path of others.value.split('\0')) {
    if (path === '' || stateFile(path) !== undefined || /(^|\/)\.[^/]*\.tmp$/.test(path)) continue;
    const one = strangerLeft(place.disk, place.state, path);
    if (!one.ok) return one;
    left.push(one.value);
  }
  return ok(left);
};

/**
 * Commits what is new, brings in what others have pushed, and pushes.
 * @param place its `state` is the real path.
 * @param confirms the names that this call confirms.
 */
export const syncState = (git: Git, place: Workplace, confirms: readonly string[]): Outcome<Synced> => {
  const stray = firstStray(place.disk, place.state);
  if (!stray.ok) return stray;
  if (stray.value) return err(stray.value);
  const finished = nothingUnfinished(git);
  if (!finished.ok) return finished;
  const branch = branchOf(git);
  if (!branch.ok) return branch;
  const remote = remoteOf(git, place.disk, branch.value);
  if (!remote.ok) return remote;
  const known = unknownConfirm(confirms, [...git.findings, ...(remote.value?.findings ?? [])]);
  if (!known.ok) return known;
  const remembered = git.remember();
  if (!remembered.ok) return remembered;

  const sync: Sync = { git, place, branch: branch.value, told: [] };
  const back = bringBack(sync);
  if (!back.ok) return back;
  const sound = lookAt(place);
  if (!sound.ok) return sound;
  const refreshed = sound.value.refresh(place.disk);
  if (!refreshed.ok) return refreshed;
  const first = commitOwn(sync);
  if (!first.ok) return first;
  sync.told.push(first.value.isNew ? 'committed' : 'nothing new here');
  if (remote.value === undefined)
    sync.told.push(...sound.value.told, 'no remote: nothing was shared (git remote add origin …)');
  const shared = remote.value === undefined ? ok(false) : shareWith(sync, remote.value, first.value);
  const aligned = treeOf(git, commitOf(git, branch.value));
  const index = aligned.ok ? alignIndex(git, aligned.value) : aligned;
  if (!shared.ok) return shared;
  if (!index.ok) return index;
  const others = strangers(sync);
  if (!others.ok) return others;
  const left = [...first.value.left, ...others.value];
  return ok({
    told: [...sync.told, ...(shared.value ? ['shared'] : []), ...shownLeft(left)],
    pushed: shared.value,
    left,
  });
};
