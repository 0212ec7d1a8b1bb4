import { err, ok, wrong, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../../store/disk.ts';
import type { Brought } from '../../store/git/findings.ts';
import type { Git } from '../../store/git/git.ts';
import { repositoryAt } from '../../store/git/repository.ts';
import { isPlainName, partsOf } from '../../store/git/settings.ts';
import { localPath } from '../../store/git/urls.ts';
import { commitOf } from './tree.ts';

/** The branch that is checked out, in full. Codes `git-detached`, `git-name`. */
export const branchOf = (git: Git): Outcome<string> => {
  const head = git.run(['symbolic-ref', '--quiet', 'HEAD']);
  const branch = head.ok ? head.value.trim() : '';
  if (!branch.startsWith('refs/heads/'))
    return err(
      wrong(
        'git-detached',
        'no branch is checked out in the repository of this state',
        'Check out its branch: git -C STATE switch main; then sync',
      ),
    );
  return isPlainName(branch.slice('refs/heads/'.length))
    ? ok(branch)
    : err(
        wrong(
          'git-name',
          `"${branch}" is a name that git may take for an option`,
          'Give the branch a plain name: git branch -m main',
        ),
      );
};

/** Where this branch is shared. */
export interface Remote {
  readonly name: string;
  /** The branch there, in full. */
  readonly branch: string;
  /** The branch of this repository that remembers it, in full. */
  readonly tracked: string;
  /** True where git knows that this branch follows that one. */
  readonly isFollowed: boolean;
  /** What the repository there brings, where it is on this machine. */
  readonly findings: readonly Brought[];
  /** Options that keep git from running anything of a repository on this machine, for fetching and for pushing. */
  readonly options: { readonly fetch: readonly string[]; readonly push: readonly string[] };
}

const namesOf = (git: Git): readonly string[] => [
  ...new Set(
    git.keys.flatMap((key) => {
      const { section, subsection, name } = partsOf(key);
      return section === 'remote' && name === 'url' && subsection !== undefined ? [subsection] : [];
    }),
  ),
];

/** What is known of a remote that is on this machine: git would run its hooks and follow its settings. */
const onThisMachine = (git: Git, disk: Disk, name: string): Outcome<Pick<Remote, 'findings' | 'options'>> => {
  const none = { findings: [], options: { fetch: [], push: [] } };
  const urls = [git.run(['remote', 'get-url', '--', name]), git.run(['remote', 'get-url', '--push', '--', name])];
  const findings = new Map<string, Brought>();
  let isLocal = false;
  for (const url of urls) {
    if (!url.ok) return url;
    const path = localPath(url.value.replace(/\n$/, ''), git.repository.top);
    const folder = path === undefined ? ok(undefined) : repositoryAt(disk, path);
    if (!folder.ok) return folder;
    if (folder.value === undefined) continue;
    isLocal = true;
    const admitted = git.admitRemote(name, folder.value);
    if (!admitted.ok) return admitted;
    for (const one of admitted.value) findings.set(one.name, one);
  }
  if (!isLocal || findings.size > 0) return ok({ ...none, findings: [...findings.values()] });
  const isSet = (which: string): boolean => git.setting(`remote.${name}.${which}`) !== undefined;
  return ok({
    findings: [],
    options: {
      fetch: isSet('uploadpack') ? [] : [`--upload-pack=${git.bare} upload-pack`],
      push: isSet('receivepack') ? [] : [`--receive-pack=${git.bare} receive-pack`],
    },
  });
};

/**
 * The remote of a branch: the one that it follows, else `origin`, else the first. `undefined` where there is none.
 * Codes `git-name`, `git-settings`.
 */
export const remoteOf = (git: Git, disk: Disk, branch: string): Outcome<Remote | undefined> => {
  const short = branch.slice('refs/heads/'.length);
  const followed = git.setting(`branch.${short}.remote`);
  const merge = git.setting(`branch.${short}.merge`);
  const names = namesOf(git);
  const isFollowed = followed !== undefined && merge !== undefined && names.includes(followed);
  const name = isFollowed ? followed : names.includes('origin') ? 'origin' : names[0];
  if (name === undefined) return ok(undefined);
  if (!isPlainName(name))
    return err(
      wrong(
        'git-name',
        `the remote "${name}" has a name that git may take for an option`,
        'Give it a plain name: git remote rename',
      ),
    );
  const there = isFollowed ? merge : branch;
  const local = onThisMachine(git, disk, name);
  if (!local.ok) return local;
  const tracked = `refs/remotes/${name}/${there.replace(/^refs\/heads\//, '')}`;
  return ok({ name, branch: there, tracked, isFollowed, ...local.value });
};

/** Fetches the branch of the remote, and gives its commit; `undefined` where it has no such branch yet. */
export const fetchFrom = (
  git: Git,
  { name, branch, tracked, isFollowed, options }: Remote,
): Outcome<string | undefined> => {
  if (!isFollowed) {
    const listed = git.run(['ls-remote', '--heads', ...options.fetch, '--', name, branch]);
    if (!listed.ok) return listed;
    if (listed.value.trim() === '') return ok(undefined);
  }
  const argv = ['fetch', '--quiet', '--no-tags', '--no-recurse-submodules', '--no-write-fetch-head', '--refmap='];
  const fetched = git.run([...argv, ...options.fetch, '--', name, `+${branch}:${tracked}`]);
  if (!fetched.ok && /couldn't find remote ref/.test(fetched.fault.what)) return ok(undefined);
  if (!fetched.ok) return fetched;
  return ok(commitOf(git, tracked));
};

/** Pushes the commit. `behind`: somebody else was quicker, and what they pushed has to be fetched first. */
export const pushTo = (
  git: Git,
  { name, branch, isFollowed, options }: Remote,
  from: string,
): Outcome<'shared' | 'behind'> => {
  const argv = ['push', '--quiet', '--recurse-submodules=no', ...(isFollowed ? [] : ['--set-upstream'])];
  const pushed = git.run([...argv, ...options.push, '--', name, `${from}:${branch}`]);
  if (pushed.ok) return ok('shared');
  return /\[rejected\]|fetch first|non-fast-forward/.test(pushed.fault.what) ? ok('behind') : pushed;
};
