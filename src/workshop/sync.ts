import { err, ok, usage, wrong, type Outcome } from '../fault/fault.ts';
import type { Git } from '../store/git.ts';
import { isRecordNumber, stateFolders } from '../store/layout.ts';

/*
 * Shares a state through the user's own git: commit, pull, push. Journals merge by themselves, because each machine has a file of
 * its own. Of two records with the same number, and of two drafts of build.yaml, only one can stay. Both stories are in the
 * journal, and the next entry writes the record that was left out anew.
 */

export interface Synced {
  /** Messages for the person, one line each. */
  readonly told: readonly string[];
  readonly pushed: boolean;
}

const lines = (text: string): readonly string[] => text.split('\n').filter((line) => line !== '');

const commit = (git: Git): Outcome<boolean> => {
  const added = git.run(
    'add',
    '--all',
    '--',
    '.',
    ':(exclude,glob)**/.*.tmp',
    ':(exclude,top,glob)**/scripted-keys/.*',
  );
  if (!added.ok) return added;
  const staged = git.run('diff', '--cached', '--name-only', '--', '.');
  if (!staged.ok) return staged;
  if (lines(staged.value).length === 0) return ok(false);
  const done = git.run('commit', '--quiet', '--message', 'dryfit: entries', '--', '.');
  return done.ok ? ok(true) : done;
};

/** The job and number of a path in `records/JOB/N`, or `undefined` for any other path. */
const recordOf = (path: string): { readonly job: string; readonly number: number } | undefined => {
  const [folder, job, number] = path.split('/');
  return folder === stateFolders.records && job !== undefined && isRecordNumber(number ?? '')
    ? { job, number: Number(number) }
    : undefined;
};

/** Where both sides wrote records of a job, theirs stay, because others may have them already. Ours are removed from record `first` on. */
const takeTheirs = (git: Git, job: string, first: number): Outcome<true> => {
  const folder = `${stateFolders.records}/${job}`;
  const listed = git.run('ls-tree', '--name-only', 'MERGE_HEAD', '--', `${folder}/`);
  if (!listed.ok) return listed;
  const ours = git.run('ls-files', '--', folder);
  if (!ours.ok) return ours;
  const numbers = new Set(lines(ours.value).flatMap((path) => recordOf(path)?.number ?? []));
  for (const number of numbers) {
    if (number < first) continue;
    const removed = git.run('rm', '-r', '-f', '--quiet', '--ignore-unmatch', '--', `${folder}/${number}`);
    if (!removed.ok) return removed;
  }
  const theirs = lines(listed.value).flatMap((path) => recordOf(path)?.number ?? []);
  for (const number of theirs) {
    if (number < first) continue;
    const taken = git.run('checkout', 'MERGE_HEAD', '--', `${folder}/${number}`);
    if (!taken.ok) return taken;
  }
  return ok(true);
};

interface Conflicts {
  /** By job, the lowest record number that both sides wrote. */
  readonly records: ReadonlyMap<string, number>;
  readonly draft: boolean;
  readonly others: readonly string[];
}

const sorted = (paths: readonly string[]): Conflicts => {
  const records = new Map<string, number>();
  const others: string[] = [];
  for (const path of paths) {
    const record = recordOf(path);
    if (record) records.set(record.job, Math.min(record.number, records.get(record.job) ?? Infinity));
    else if (path !== 'build.yaml') others.push(path);
  }
  return { records, draft: paths.includes('build.yaml'), others };
};

const resolve = (git: Git, { records, draft }: Conflicts): Outcome<readonly string[]> => {
  const told: string[] = [];
  for (const [job, first] of records) {
    const taken = takeTheirs(git, job, first);
    if (!taken.ok) return taken;
    told.push(
      `record ${first} of ${job} was written on both machines: the other one stays, the next entry writes a new one`,
    );
  }
  if (draft) {
    const kept = git.run('checkout', '--ours', '--', 'build.yaml');
    const added = kept.ok ? git.run('add', '--', 'build.yaml') : kept;
    if (!added.ok) return added;
    told.push(
      'build.yaml was changed on both machines: yours stays as a draft; what was taken in elsewhere lies in builds/',
    );
  }
  const done = git.run('commit', '--no-edit', '--quiet');
  return done.ok ? ok(told) : done;
};

/**
 * Resolves what a pull left in conflict. Records and the draft are resolved by rule; anything else is left to the person, and the
 * merge is undone.
 */
const settleMerge = (git: Git, why: ReturnType<Git['run']>): Outcome<readonly string[]> => {
  const open = git.run('diff', '--name-only', '--diff-filter=U', '--relative', '--', '.');
  const paths = open.ok ? lines(open.value) : [];
  const conflicts = sorted(paths);
  if (paths.length > 0 && conflicts.others.length === 0) return resolve(git, conflicts);
  if (paths.length === 0) return why.ok ? ok([]) : why;
  git.run('merge', '--abort');
  return err(
    wrong(
      'git-conflict',
      `git cannot merge ${conflicts.others.join(', ')}`,
      'merge it by hand with git pull, then sync again',
    ),
  );
};

const pull = (git: Git): Outcome<readonly string[]> => {
  const pulled = git.run('pull', '--no-rebase', '--no-edit', '--quiet');
  return pulled.ok ? ok([]) : settleMerge(git, pulled);
};

/** Whether there is anybody to share with: an upstream, or a remote to which nothing was pushed yet. */
const upstreamOf = (git: Git): 'there' | 'new' | 'none' => {
  const tracked = git.run('rev-parse', '--abbrev-ref', '--symbolic-full-name', '@{upstream}');
  if (tracked.ok) return 'there';
  const remotes = git.run('remote');
  return remotes.ok && lines(remotes.value).length > 0 ? 'new' : 'none';
};

const push = (git: Git, upstream: 'there' | 'new'): Outcome<string> => {
  if (upstream === 'there') return git.run('push', '--quiet');
  const remotes = git.run('remote');
  const [remote = 'origin'] = remotes.ok ? lines(remotes.value) : [];
  return git.run('push', '--quiet', '--set-upstream', remote, 'HEAD');
};

/**
 * Commits what is new, pulls what others have pushed, and pushes.
 * @param afterPull rebuilds what follows from the journal (`allowed_signers`), and gives its messages.
 */
export const syncState = (git: Git, afterPull: () => Outcome<readonly string[]>): Outcome<Synced> => {
  const inside = git.run('rev-parse', '--is-inside-work-tree');
  if (!inside.ok && inside.fault.code === 'git-missing') return inside;
  if (!inside.ok)
    return err(
      usage(
        'git-none',
        'this state lies in no git repository',
        'begin one: git -C STATE init, and add a remote; then sync',
      ),
    );
  const first = commit(git);
  if (!first.ok) return first;
  const told = [first.value ? 'committed' : 'nothing new here'];
  const upstream = upstreamOf(git);
  if (upstream === 'there') {
    const pulled = pull(git);
    if (!pulled.ok) return pulled;
    told.push(...pulled.value);
  }
  const mended = afterPull();
  if (!mended.ok) return mended;
  const second = commit(git);
  if (!second.ok) return second;
  told.push(...mended.value);
  if (upstream === 'none')
    return ok({ told: [...told, 'no remote: nothing was shared (git remote add origin …)'], pushed: false });
  const pushed = push(git, upstream);
  return pushed.ok ? ok({ told: [...told, 'shared'], pushed: true }) : pushed;
};
