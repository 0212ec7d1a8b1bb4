import { dirname, join, relative, resolve, sep } from 'node:path';
import { err, ok, usage, wrong, type Fault, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../disk.ts';
import { onDisk } from '../disk-fault.ts';
import { readText } from '../read-file.ts';

/*
 * Which repository a folder belongs to, found without git: git would read the settings of a received folder on the way. The search
 * follows gitrepository-layout(5).
 */

/** A folder that git keeps a repository in, and how it was reached. */
export interface GitFolder {
  /** The real path of the folder with HEAD. */
  readonly gitDir: string;
  /** The folder with the settings, objects and hooks; another one than `gitDir` in a further work tree. */
  readonly common: string;
  /** What led there other than a folder `.git`: each may be anywhere on the machine, so a person confirms it. */
  readonly detours: readonly { readonly name: string; readonly value: string }[];
}

export interface Repository extends GitFolder {
  /** The top of the work tree, a real path. */
  readonly top: string;
  /** Where the state is below it: "" or `a/b/`. */
  readonly prefix: string;
}

const small = 4096;

const odd = (where: string): Fault =>
  wrong('git-odd', 'it is neither a file nor a folder', 'Remove it, or look at it with git', where);

const textIn = (disk: Disk, path: string): Outcome<string | undefined> => {
  const text = readText(disk, path, { where: path, limit: small });
  if (text.ok) return ok(text.value.replace(/\r?\n$/, ''));
  return text.fault.code === 'file-missing' ? ok(undefined) : text;
};

/** Where the folder of a further work tree names the common one. */
const withCommon = (disk: Disk, gitDir: string, detours: GitFolder['detours']): Outcome<GitFolder> => {
  const text = textIn(disk, join(gitDir, 'commondir'));
  if (!text.ok) return text;
  if (text.value === undefined) return ok({ gitDir, common: gitDir, detours });
  const path = resolve(gitDir, text.value);
  const common = onDisk(path, () => disk.real(path));
  const more = [...detours, { name: 'commondir', value: text.value }];
  return common.ok ? ok({ gitDir, common: common.value, detours: more }) : common;
};

/** What a path named `.git` leads to; `undefined` where there is nothing. Codes `git-odd`, `git-link`, `disk-…`. */
const throughDotGit = (disk: Disk, path: string): Outcome<GitFolder | undefined> => {
  const facts = onDisk(path, () => disk.look(path));
  if (!facts.ok) return facts;
  if (facts.value === undefined) return ok(undefined);
  if (facts.value.kind === 'folder') return withCommon(disk, path, []);
  const real = onDisk(path, () => disk.real(path));
  if (!real.ok) return real;
  if (facts.value.kind === 'other') {
    const behind = onDisk(path, () => disk.look(real.value));
    if (!behind.ok) return behind;
    return behind.value?.kind === 'folder'
      ? withCommon(disk, real.value, [{ name: '.git', value: `link to ${real.value}` }])
      : err(odd(path));
  }
  const text = textIn(disk, path);
  if (!text.ok) return text;
  const [, named] = /^gitdir: (.+)$/.exec(text.value ?? '') ?? [];
  if (named === undefined)
    return err(wrong('git-link', 'it is a file that leads nowhere', 'Look at it with git', path));
  const target = resolve(dirname(path), named);
  const found = onDisk(target, () => disk.real(target));
  return found.ok ? withCommon(disk, found.value, [{ name: '.git', value: `gitdir: ${named}` }]) : found;
};

const above = (path: string): readonly string[] => {
  const parent = dirname(path);
  return parent === path ? [path] : [path, ...above(parent)];
};

/**
 * The repository of a state: the first `.git` in its folder or above.
 * @param state a real path.
 * Codes `git-none`, `git-odd`, `git-link`, those of `readText`.
 */
export const repositoryOf = (disk: Disk, state: string): Outcome<Repository> => {
  for (const top of above(state)) {
    const found = throughDotGit(disk, join(top, '.git'));
    if (!found.ok) return found;
    if (found.value === undefined) continue;
    const path = relative(top, state);
    return ok({ ...found.value, top, prefix: path === '' ? '' : `${path.split(sep).join('/')}/` });
  }
  return err(
    usage(
      'git-none',
      'this state is not in a git repository',
      'Make one: git -C STATE init, then git -C STATE remote add origin ADDRESS; then sync',
    ),
  );
};

/** The repository at a local address, with or without a work tree; `undefined` where there is none (a bundle, a missing folder). */
export const repositoryAt = (disk: Disk, path: string): Outcome<GitFolder | undefined> => {
  for (const end of ['/.git', '', '.git/.git', '.git']) {
    const candidate = `${path.replace(/(?<=.)\/+$/, '')}${end}`;
    const found = end.endsWith('/.git') ? throughDotGit(disk, candidate) : bareAt(disk, candidate);
    if (!found.ok || found.value !== undefined) return found;
  }
  return ok(undefined);
};

const bareAt = (disk: Disk, path: string): Outcome<GitFolder | undefined> => {
  const facts = onDisk(path, () => disk.look(path));
  if (!facts.ok || facts.value === undefined) return facts.ok ? ok(undefined) : facts;
  const real = onDisk(path, () => disk.real(path));
  if (!real.ok) return real;
  const head = onDisk(path, () => disk.look(join(real.value, 'HEAD')));
  if (!head.ok || head.value === undefined) return head.ok ? ok(undefined) : head;
  return withCommon(disk, real.value, []);
};
