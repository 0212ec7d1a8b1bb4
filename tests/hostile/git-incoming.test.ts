import { readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { stateFile } from '../../src/store/state-files.ts';
import { projectFolder } from '../support/command.ts';
import { contentOf, madeOnce, runProgram, type GitScene } from './git-scene.ts';

/* What somebody else pushes, with git alone: none of it may take an entry from this side, or bring in what is not dryfit's own. */

let made: Awaited<ReturnType<typeof madeOnce>>;
beforeAll(async () => {
  made = await madeOnce(projectFolder);
});
afterAll(() => made.end());

const sync = (scene: GitScene) => runProgram(projectFolder, scene, 'sync', '--state', scene.state);

/** Lets somebody else change a clone and push it. */
const pushed = (scene: GitScene, change: (clone: string, journal: string) => void): void => {
  const clone = join(scene.home, 'clone');
  scene.git('clone', '--quiet', scene.bare, clone);
  const [name = ''] = readdirSync(join(clone, 'journal'));
  change(clone, join(clone, 'journal', name));
  scene.git('-C', clone, 'add', '--all');
  scene.git('-C', clone, 'commit', '--quiet', '-m', 'x');
  scene.git('-C', clone, 'push', '--quiet');
};

/** The files of the state itself, without the repository. */
const filesOf = ({ state }: GitScene): Readonly<Record<string, string>> =>
  Object.fromEntries([...contentOf(state)].filter(([path]) => !path.startsWith('.git/')));

const linesOf = (path: string): readonly string[] => readFileSync(path, 'utf8').trimEnd().split('\n');
const otherWriter = (journal: string): string => journal.replace(/\w+\.jsonl$/, 'zzzzzzzz.jsonl');

const refused: Readonly<
  Record<
    string,
    readonly [change: (clone: string, journal: string, scene: GitScene) => void, code: 1 | 3, says: RegExp]
  >
> = {
  'a rewritten line': [
    (_, journal) => writeFileSync(journal, readFileSync(journal, 'utf8').replace('"at":"2026', '"at":"2025')),
    1,
    /journal\/\w+\.jsonl: error journal-rewritten: line 1 is another one in the remote than here/,
  ],
  'a journal of another writer that is not one': [
    (_, journal) => writeFileSync(otherWriter(journal), 'not a line\n'),
    1,
    /journal\/zzzzzzzz\.jsonl:1: error [a-z-]+: what comes from elsewhere does not fit/,
  ],
  "lines of a writer under another writer's name": [
    (_, journal) => writeFileSync(otherWriter(journal), readFileSync(journal)),
    1,
    /error chain-writer: what comes from elsewhere does not fit/,
  ],
  'lines that nobody signed': [
    (_, journal) => {
      const [, last = ''] = linesOf(journal).slice(-2);
      writeFileSync(journal, `${readFileSync(journal, 'utf8')}${last.replace(/"seq":\d+/, '"seq":9')}\n`);
    },
    1,
    /error chain-seq: what comes from elsewhere does not fit/,
  ],
  'a link in the place of a journal': [
    (_, journal) => {
      rmSync(journal);
      symlinkSync('/etc/hostname', journal);
    },
    3,
    /git-stranger: the remote brings what is not a file of dryfit: journal\//,
  ],
  'a file of another kind': [
    (clone, _, { put }) => put(join(clone, 'Makefile'), 'all:\n'),
    3,
    /git-stranger: .*: Makefile;/,
  ],
  'rules for the files of a folder': [
    (clone, _, { put }) => put(join(clone, 'journal/.gitattributes'), '* filter=x\n'),
    3,
    /git-stranger: .*: journal\/\.gitattributes;/,
  ],
  'a repository within the repository': [
    (clone, _, { git, put }) => {
      put(join(clone, '.gitmodules'), '[submodule "x"]\n\tpath = x\n\turl = ../x\n');
      git('-C', clone, 'update-index', '--add', '--cacheinfo', `160000,${'1'.repeat(40)},x`);
    },
    3,
    /git-stranger: .*\.gitmodules, x;|git-stranger: .*\.gitmodules;/,
  ],
};

describe('refused, and nothing of it is taken', () => {
  it.each(Object.entries(refused))('%s', async (_, [change, code, says]) => {
    const scene = made.copy();
    pushed(scene, (clone, journal) => change(clone, journal, scene));
    const before = filesOf(scene);
    const ran = await sync(scene);
    expect(ran.err).toMatch(says);
    expect(ran.code).toBe(code);
    expect(ran.err).toContain('Nothing was taken');
    expect(ran.err).not.toMatch(/\n {4}at /);
    expect(filesOf(scene)).toEqual(before);
  });
});

const kept: Readonly<
  Record<string, readonly [change: (clone: string, journal: string, scene: GitScene) => void, says: RegExp]>
> = {
  'a journal that lost its last line': [
    (_, journal) => writeFileSync(journal, `${linesOf(journal).slice(0, -1).join('\n')}\n`),
    /journal\/\w+\.jsonl has lost lines in the remote: this side keeps them all/,
  ],
  'a journal that was emptied': [(_, journal) => writeFileSync(journal, ''), /has lost lines in the remote/],
  'a journal that was removed': [
    (_, journal) => rmSync(journal),
    /the remote has removed, and this side keeps: journal\/\w+\.jsonl/,
  ],
  'an attachment that is not what its name says': [
    (clone, _, { put }) => put(join(clone, `attachments/${'0'.repeat(64)}.jpg`), 'x'),
    /not taken, because its content is not the one that its name says: attachments\/0+\.jpg/,
  ],
  'signers of its own': [(clone) => writeFileSync(join(clone, 'allowed_signers'), 'somebody else\n'), /shared/],
  'other rules for all files': [(clone) => writeFileSync(join(clone, '.gitattributes'), '* filter=x\n'), /shared/],
};

describe('shared, and this side keeps what it has', () => {
  it.each(Object.entries(kept))('%s', async (_, [change, says]) => {
    const scene = made.copy();
    pushed(scene, (clone, journal) => change(clone, journal, scene));
    const before = filesOf(scene);
    const ran = await sync(scene);
    expect(ran.err).toBe('');
    expect(ran.out).toMatch(says);
    expect(filesOf(scene)).toEqual(before);
    const names = scene.git('--git-dir', scene.bare, 'ls-tree', '-r', '--name-only', 'main').trim().split('\n');
    expect(names.filter((path) => stateFile(path) === undefined)).toEqual([]);
    for (const path of names.filter((name) => name.startsWith('journal/')))
      expect(scene.git('--git-dir', scene.bare, 'show', `main:${path}`)).toBe(
        readFileSync(join(scene.state, path), 'utf8'),
      );
  });
});

describe('what is gone from this side comes back', () => {
  it('a journal that a restored backup has cut short', async () => {
    const scene = made.copy();
    const [name = ''] = readdirSync(join(scene.state, 'journal'));
    const journal = join(scene.state, 'journal', name);
    const whole = readFileSync(journal, 'utf8');
    writeFileSync(journal, `${linesOf(journal).slice(0, -1).join('\n')}\n`);
    const ran = await sync(scene);
    expect(ran.out).toContain(`brought back from the last commit: journal/${name}`);
    expect(readFileSync(journal, 'utf8')).toBe(whole);
  });
});
