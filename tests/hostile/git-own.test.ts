import { cpSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { projectFolder } from '../support/command.ts';
import { madeOnce, runProgram, type GitScene } from './git-scene.ts';

/* The sisters of the hostile folders: the same settings, where the person has made them, and odd repositories that nobody means harm with. */

let made: Awaited<ReturnType<typeof madeOnce>>;
beforeAll(async () => {
  made = await madeOnce(projectFolder);
});
afterAll(() => made.end());

const sync = (scene: GitScene, ...more: readonly string[]) =>
  runProgram(projectFolder, scene, 'sync', '--state', scene.state, ...more);
const shared = async (scene: GitScene, ...more: readonly string[]): Promise<string> => {
  const ran = await sync(scene, ...more);
  expect(ran.err).toBe('');
  expect(ran.code).toBe(0);
  expect(ran.out).toContain('shared');
  return ran.out;
};
const lastCommit = ({ git, bare }: GitScene, format: string): string =>
  git('--git-dir', bare, 'log', '-1', `--format=${format}`, 'main').trim();

describe('what the person has set for themselves works', () => {
  it('hooks, and settings from another file', async () => {
    const scene = made.copy();
    const { home, own, put, marker } = scene;
    own('core.hooksPath', join(home, 'hooks'));
    own('include.path', put(join(home, 'more'), '[user]\n\tname = From another file\n'));
    put(join(home, 'hooks/pre-push'), readFileSync(scene.evil, 'utf8'));
    put(join(home, 'hooks/pre-commit'), `#!/bin/sh\ntouch '${marker}-2'\n`);
    await shared(scene);
    expect([existsSync(marker), existsSync(`${marker}-2`)]).toEqual([true, true]);
    expect(lastCommit(scene, '%an')).toBe('From another file');
  });

  it('a program for ssh', async () => {
    const scene = made.copy();
    scene.git('config', 'remote.origin.url', `ssh://example.invalid${scene.bare}`);
    const ssh = `#!/bin/sh\ntouch '${scene.marker}'\nfor last; do :; done\nexec sh -c "$last"\n`;
    scene.own('core.sshCommand', scene.put(join(scene.home, 'ssh'), ssh));
    scene.own('ssh.variant', 'simple');
    await shared(scene);
    expect(existsSync(scene.marker)).toBe(true);
  });

  it('a program that signs', async () => {
    const scene = made.copy();
    const gpg = `#!/bin/sh\ntouch '${scene.marker}'\ncat >/dev/null\necho '[GNUPG:] SIG_CREATED ' >&2\necho '-----BEGIN PGP SIGNATURE-----'\n`;
    scene.own('gpg.program', scene.put(join(scene.home, 'gpg'), gpg));
    scene.own('commit.gpgSign', 'true');
    await shared(scene);
    expect(existsSync(scene.marker)).toBe(true);
    expect(scene.git('cat-file', 'commit', 'HEAD')).toContain('gpgsig -----BEGIN PGP SIGNATURE-----');
  });

  it('another name for an address', async () => {
    const scene = made.copy();
    scene.git('config', 'remote.origin.url', 'far:build.git');
    scene.own(`url.${scene.bare}.insteadOf`, 'far:build.git');
    await shared(scene);
  });

  it('a helper that carries the data, once its address was confirmed', async () => {
    const scene = made.copy();
    scene.git('config', 'remote.origin.url', `ext::git %s ${scene.bare}`);
    scene.own('protocol.ext.allow', 'always');
    expect((await sync(scene)).code).toBe(3);
    await shared(scene, '--confirm', 'remote.origin.url');
  });
});

describe('what a repository brings', () => {
  it('works once it was confirmed, and asks again when it has changed', async () => {
    const scene = made.copy();
    const hook = scene.put(join(scene.gitDir, 'hooks/pre-push'), readFileSync(scene.evil, 'utf8'));
    expect((await sync(scene)).err).toContain('dryfit sync --confirm hooks/pre-push');
    expect((await sync(scene, '--confirm', 'hooks/post-update')).code).toBe(3);
    expect(existsSync(scene.marker)).toBe(false);
    await shared(scene, '--confirm', 'hooks/pre-push');
    expect(existsSync(scene.marker)).toBe(true);
    await shared(scene);
    rmSync(scene.marker);
    writeFileSync(hook, `${readFileSync(hook, 'utf8')}# changed\n`);
    expect((await sync(scene)).code).toBe(3);
    expect(existsSync(scene.marker)).toBe(false);
  });

  it('is asked about again when a program that a setting names has changed', async () => {
    const scene = made.copy();
    scene.put(join(scene.state, 'watch'), '#!/bin/sh\n');
    scene.set('core.fsmonitor', './watch');
    await shared(scene, '--confirm', 'core.fsmonitor');
    scene.put(join(scene.state, 'watch'), '#!/bin/sh\n# changed\n');
    expect((await sync(scene)).code).toBe(3);
  });

  it('is not confirmed by a name that it does not bring', async () => {
    const ran = await sync(made.copy(), '--confirm', 'core.hooksPath');
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('does not bring "core.hooksPath"');
  });

  it('is not confirmed by a call that also confirms what it does not bring', async () => {
    const scene = made.copy();
    scene.set('core.fsmonitor', './watch');
    scene.put(join(scene.state, 'watch'), '#!/bin/sh\n');
    const ran = await sync(scene, '--confirm', 'core.fsmonitor', '--confirm', 'core.hooksPath');
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('does not bring "core.hooksPath"');
    expect((await sync(scene)).code).toBe(3);
    await shared(scene, '--confirm', 'core.fsmonitor');
    await shared(scene);
  });
});

describe('an odd repository gets one clear error', () => {
  const odd: Readonly<Record<string, readonly [plant: (scene: GitScene) => void, says: RegExp]>> = {
    'where no branch is checked out': [({ git }) => git('checkout', '--quiet', '--detach'), /git-detached: no branch/],
    'in the middle of a merge': [
      ({ git, gitDir }) => writeFileSync(join(gitDir, 'MERGE_HEAD'), git('rev-parse', 'HEAD')),
      /git-unfinished: git is in the middle of a merge/,
    ],
    'in the middle of a rebase': [
      ({ gitDir, put }) => put(join(gitDir, 'rebase-merge/head-name'), 'refs/heads/main\n'),
      /git-unfinished: git is in the middle of a rebase/,
    ],
    'with a git that is too old': [
      ({ folder, put }) => put(join(folder, 'home/bin/git'), '#!/bin/sh\necho git version 2.20.1\n'),
      /git-old: this is git version 2\.20\.1, and sync needs git 2\.30 or later/,
    ],
  };
  it.each(Object.entries(odd))('%s', async (_, [plant, says]) => {
    const scene = made.copy();
    plant(scene);
    const ran = await sync(scene);
    expect(ran.code).toBe(1);
    expect(ran.err).toMatch(says);
    expect(ran.err.trim().split('\n')).toHaveLength(1);
  });
});

describe('a larger repository around the state', () => {
  it("shares the state's files only, and takes in what others changed beside it", async () => {
    const scene = made.copy();
    const { folder, state, bare, put, home } = scene;
    const top = join(folder, 'larger');
    const inTop = (...argv: readonly string[]): string => scene.git('-C', top, ...argv);
    rmSync(bare, { recursive: true });
    scene.put(join(top, 'plans/wing.txt'), 'one\n');
    scene.git('init', '--quiet', '--initial-branch=main', '--template=', top);
    scene.git('init', '--quiet', '--bare', '--initial-branch=main', '--template=', bare);
    inTop('add', 'plans');
    inTop('commit', '--quiet', '-m', 'plans');
    inTop('remote', 'add', 'origin', bare);
    put(join(top, 'notes.txt'), 'not committed\n');
    cpSync(state, join(top, 'state'), { recursive: true, filter: (path) => path !== scene.gitDir });
    const inside: GitScene = { ...scene, state: join(top, 'state') };
    await shared(inside);
    expect(inTop('ls-tree', '-r', '--name-only', 'origin/main')).not.toContain('notes.txt');
    expect(inTop('status', '--porcelain')).toBe('?? notes.txt\n');

    inTop('clone', '--quiet', bare, join(home, 'other'));
    put(join(home, 'other/plans/wing.txt'), 'two\n');
    inTop('-C', join(home, 'other'), 'commit', '--quiet', '-am', 'two');
    inTop('-C', join(home, 'other'), 'push', '--quiet');
    put(join(top, 'state/build.yaml'), `${readFileSync(join(top, 'state/build.yaml'), 'utf8')}# again\n`);
    await shared(inside);
    expect(readFileSync(join(top, 'plans/wing.txt'), 'utf8')).toBe('two\n');
    expect(inTop('status', '--porcelain')).toBe('?? notes.txt\n');
  });
});
