import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  chmodSync,
  cpSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join, relative } from 'node:path';

/* A state in a git repository as somebody might hand it over, the person's home beside it, and a marker that only a program of theirs makes. */

/** One received folder, ready to be harmed. */
export interface GitScene {
  readonly folder: string;
  readonly home: string;
  readonly state: string;
  readonly gitDir: string;
  /** The remote: a repository without a work tree. */
  readonly bare: string;
  /** The file that appears when what the folder brought was run. */
  readonly marker: string;
  /** A program that makes the marker and passes its input on. */
  readonly evil: string;
  /** Runs git in the state, as whoever made the folder did. */
  readonly git: (...argv: readonly string[]) => string;
  /** Sets something in the repository's own settings. */
  readonly set: (key: string, value: string) => void;
  /** Sets something in the person's own settings. */
  readonly own: (key: string, value: string) => void;
  /** Writes a file, with the folders above it; a program where it begins with `#!`. */
  readonly put: (path: string, content: string) => string;
}

const environment = (home: string): NodeJS.ProcessEnv => ({
  // a test may put programs of its own before all others
  PATH: [join(home, 'bin'), process.env['PATH']].join(delimiter),
  HOME: home,
  TZ: 'UTC',
  GIT_CONFIG_NOSYSTEM: '1',
});

const put = (path: string, content: string): string => {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, content);
  if (content.startsWith('#!')) chmodSync(path, 0o755);
  return path;
};

const sceneIn = (folder: string): GitScene => {
  const [home, state] = [join(folder, 'home'), join(folder, 'state')];
  const marker = join(folder, 'marker');
  const run = (...argv: readonly string[]): string =>
    execFileSync('git', argv, {
      cwd: state,
      encoding: 'utf8',
      env: { ...environment(home), PATH: process.env['PATH'] },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
  return {
    folder,
    home,
    state,
    gitDir: join(state, '.git'),
    bare: join(folder, 'bare.git'),
    marker,
    evil: join(state, '.git/evil'),
    git: run,
    set: (key, value) => void run('config', '--file', join(state, '.git/config'), '--add', key, value),
    own: (key, value) => void run('config', '--global', '--add', key, value),
    put,
  };
};

/** The program as it is shipped. @param root the project's folder. */
export const runProgram = (root: string, { folder, home }: GitScene, ...argv: readonly string[]) =>
  new Promise<{ readonly code: number | null; readonly out: string; readonly err: string }>((resolve) => {
    const words = [join(root, 'dist/dryfit.js'), ...argv, '--now', '2026-03-02T10:00:00+01:00'];
    const child = spawn(process.execPath, words, {
      cwd: folder,
      env: environment(home),
      stdio: ['ignore', 'pipe', 'pipe'],
      timeout: 60_000,
    });
    const said = { out: '', err: '' };
    child.stdout.setEncoding('utf8').on('data', (text: string) => (said.out += text));
    child.stderr.setEncoding('utf8').on('data', (text: string) => (said.err += text));
    child.on('close', (code) => resolve({ code, ...said }));
  });

/** Makes a sound state that was synced once, in a folder that is removed at the end. */
export const madeOnce = async (root: string): Promise<{ readonly copy: () => GitScene; readonly end: () => void }> => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-handed-'));
  const first = sceneIn(join(folder, 'first'));
  mkdirSync(first.home, { recursive: true });
  for (const words of [
    ['person', 'add', 'first'],
    ['do', '-', 'temperature', '19 °C'],
  ]) {
    const done = await runProgram(root, first, ...words, '--state', first.state);
    if (done.code !== 0) throw new Error(done.err);
  }
  const plain = { cwd: first.folder, env: environment(first.home), encoding: 'utf8' } as const;
  spawnSync('git', ['init', '--quiet', '--bare', '--template=', '--initial-branch=main', 'bare.git'], plain);
  spawnSync('git', ['init', '--quiet', '--template=', '--initial-branch=main', 'state'], plain);
  first.own('user.name', 'Somebody');
  first.own('user.email', 'somebody@example.org');
  first.git('remote', 'add', 'origin', '../bare.git');
  const synced = await runProgram(root, first, 'sync', '--state', first.state);
  if (synced.code !== 0) throw new Error(synced.err);
  let count = 0;
  return {
    copy: () => {
      const to = join(folder, String((count += 1)));
      cpSync(first.folder, to, { recursive: true, verbatimSymlinks: true });
      const scene = sceneIn(to);
      put(scene.evil, `#!/bin/sh\ntouch '${scene.marker}'\n[ -t 0 ] || cat\nexit 0\n`);
      // something that is not committed yet, so that git has work to do
      put(join(scene.state, 'build.yaml'), `${readFileSync(join(scene.state, 'build.yaml'), 'utf8')}# a draft\n`);
      return scene;
    },
    end: () => rmSync(folder, { recursive: true, force: true }),
  };
};

/** All that is in a folder, the repository included, by path: to see that nothing was changed. */
export const contentOf = (folder: string): ReadonlyMap<string, string> => {
  const all = new Map<string, string>();
  const walk = (path: string): void => {
    for (const name of readdirSync(path)) {
      const full = join(path, name);
      const facts = lstatSync(full);
      if (facts.isDirectory()) walk(full);
      else if (facts.isSymbolicLink()) all.set(relative(folder, full), `link ${readlinkSync(full)}`);
      else if (facts.isFile())
        all.set(relative(folder, full), createHash('sha256').update(readFileSync(full)).digest('hex'));
      else all.set(relative(folder, full), 'other');
    }
  };
  walk(folder);
  return all;
};
