import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { run as tool } from '../signing/openssh.ts';
import { builtProgram, root } from '../support/built.ts';

/*
 * A state from another machine may have links, pipes and devices under the names of its folders and files. The built program must neither
 * write through them nor wait for them, so each run has a time limit.
 */

const { folder } = builtProgram('strays');
let state = '';
let outside = '';
const run = (...argv: readonly string[]) => {
  const ran = spawnSync(process.execPath, [join(root, 'dist/dryfit.js'), ...argv, '--state', state], {
    cwd: folder,
    encoding: 'utf8',
    timeout: 90_000,
    env: { ...process.env, XDG_CONFIG_HOME: join(folder, 'config'), XDG_CACHE_HOME: join(folder, 'cache') },
  });
  expect(ran.signal, `${argv.join(' ')} waits`).toBeNull();
  expect(ran.stderr).not.toMatch(/\n {4}at |bug:/);
  return { code: ran.status, out: ran.stdout, err: ran.stderr };
};
const fifo = (path: string): string => {
  rmSync(path, { force: true });
  tool('mkfifo', [path]);
  return path;
};
const remark = () => run('do', 'strut', 'remark', 'looked at it', '--as', 'ines');

beforeEach(() => {
  const own = mkdtempSync(join(folder, 'one-'));
  state = join(own, 'state');
  outside = join(own, 'outside');
  mkdirSync(outside);
  mkdirSync(join(folder, 'procedures'), { recursive: true });
  cpSync(join(root, 'procedures/strut-bolts.yaml'), join(folder, 'procedures/strut-bolts.yaml'));
  writeFileSync(join(folder, 'p.jpg'), 'a picture');
  expect(run('person', 'add', 'ines').code).toBe(0);
  expect(run('start', 'strut-bolts', '--each', 'left', '--as', 'ines').code).toBe(0);
});

describe('a link under the name of a folder of the state', () => {
  test.each(['journal', 'torn', 'builds', 'procedures', 'attachments', 'records', 'scripted-keys'])(
    '%s: nothing is written, the command reports it, and verify names it',
    (name) => {
      if (existsSync(join(state, name))) renameSync(join(state, name), join(outside, name));
      else mkdirSync(join(outside, name));
      symlinkSync(join(outside, name), join(state, name));
      const before = readdirSync(outside, { recursive: true });
      const [journal = ''] = readdirSync(join(state, 'journal'));
      const lines = readFileSync(join(state, 'journal', journal), 'utf8');
      for (const ran of [remark(), run('do', 'strut', 'photo', 'bolts', 'file=p.jpg', '--as', 'ines'), run('status')]) {
        expect(ran.code).toBe(1);
        expect(ran.err).toMatch(new RegExp(`^${name}: error folder-stray: .*; Put the folder itself there`, 'm'));
      }
      expect(run('verify').err).toContain(`wrong: ${name}: a link`);
      expect(readdirSync(outside, { recursive: true })).toEqual(before);
      expect(readFileSync(join(state, 'journal', journal), 'utf8')).toBe(lines);
    },
  );

  test('the folder of one job in records: nothing is written, and verify names it', () => {
    mkdirSync(join(state, 'records'));
    symlinkSync(outside, join(state, 'records', 'strut-bolts-left-0a1b2c'));
    expect(remark()).toMatchObject({ code: 1 });
    expect(run('verify').err).toContain('wrong: records/strut-bolts-left-0a1b2c: a link');
    expect(readdirSync(outside)).toEqual([]);
  });

  test('the state folder itself: allowed', () => {
    const real = state;
    state = join(outside, 'linked');
    symlinkSync(real, state);
    expect(remark()).toMatchObject({ code: 0, err: '' });
    expect(run('verify')).toMatchObject({ code: 0, err: '' });
  });
});

describe('a pipe, a device or a link under the name of a file', () => {
  test('a journal file: every command reports it and ends', () => {
    fifo(join(state, 'journal/abcdefgh.jsonl'));
    for (const ran of [remark(), run('status'), run('verify')]) {
      expect(ran.code).toBe(1);
      expect(ran.err).toContain('journal/abcdefgh.jsonl');
    }
    rmSync(join(state, 'journal/abcdefgh.jsonl'));
    symlinkSync('/dev/zero', join(state, 'journal/abcdefgh.jsonl'));
    for (const ran of [remark(), run('status'), run('verify')]) expect(ran.code).toBe(1);
    rmSync(join(state, 'journal/abcdefgh.jsonl'));
    expect(remark()).toMatchObject({ code: 0 });
  });

  test('a temporary name: it is replaced, and its target stays as it was', () => {
    writeFileSync(join(outside, 'victim'), 'as it was');
    for (const make of [fifo, (path: string) => symlinkSync(join(outside, 'victim'), path)]) {
      make(join(state, '.allowed_signers.tmp'));
      rmSync(join(state, 'allowed_signers'));
      expect(remark()).toMatchObject({ code: 0 });
      expect(readFileSync(join(state, 'allowed_signers'), 'utf8')).toContain('ines');
    }
    expect(readFileSync(join(outside, 'victim'), 'utf8')).toBe('as it was');
  });

  test('build.yaml, a procedure, a record, allowed_signers: no command waits', () => {
    for (const name of ['build.yaml', 'allowed_signers', 'records/strut-bolts-left-0a1b2c/1/record.json']) {
      mkdirSync(join(state, name, '..'), { recursive: true });
      fifo(join(state, name));
      for (const argv of [['status'], ['verify']]) run(...argv);
      remark();
      rmSync(join(state, name), { force: true });
    }
    const [text = ''] = readdirSync(join(state, 'procedures'));
    fifo(join(state, 'procedures', text));
    expect(run('verify').code).toBe(1);
  });

  test('a file that a person names: no command waits', () => {
    const pipe = fifo(join(folder, 'pipe.yaml'));
    for (const argv of [
      ['check', pipe],
      ['rehearse', pipe],
      ['compare', pipe, pipe],
      ['verify', pipe],
      ['hold', 'strut', '--answer', pipe, '--as', 'ines'],
      ['do', 'strut', 'remark', 'x', '--as', 'ines', '--key', pipe],
      ['do', 'strut', 'photo', 'bolts', `file=${pipe}`, '--as', 'ines'],
      ['verify', folder, '--signers', pipe],
    ])
      expect([1, 2], argv.join(' ')).toContain(run(...argv).code);
    fifo(join(folder, 'procedures/pipe.yaml'));
    expect(run('check', join(folder, 'procedures')).code).toBe(0);
    expect(run('status')).toMatchObject({ code: 0 });
    rmSync(join(folder, 'procedures/pipe.yaml'));
  });
});

describe('names that lead out of the state', () => {
  test('are refused or unknown', () => {
    for (const argv of [
      ['record', '../../etc'],
      ['do', '../..', 'remark', 'x', '--as', 'ines'],
      ['do', 'strut', 'remark', 'x', '--as', '../ines'],
      ['person', 'add', '../evil'],
      ['start', '../procedures/strut-bolts', '--as', 'ines'],
      ['start', '/etc/passwd', '--as', 'ines'],
    ]) {
      const ran = run(...argv);
      expect([2, 3], `${argv.join(' ')}: ${ran.out}${ran.err}`).toContain(ran.code);
    }
    expect(readdirSync(join(folder, 'config/dryfit'), { recursive: true }).join()).not.toContain('evil');
  });

  test('do no harm as the name of a photo, which is kept under its hash with a plain extension', () => {
    for (const name of ['a.jpg/../../x', '..', 'a.__proto__', 'a.J P G', 'a.sh;rm', `${'x'.repeat(200)}.jpeg`]) {
      mkdirSync(join(folder, 'pictures'), { recursive: true });
      const path = join(folder, 'pictures', name.replaceAll('/', '_'));
      if (name !== '..') writeFileSync(path, name);
      run('do', 'strut', 'photo', 'bolts', `file=${path}`, '--as', 'ines');
    }
    for (const kept of readdirSync(join(state, 'attachments'))) expect(kept).toMatch(/^[0-9a-f]{64}\.[a-z0-9]{1,8}$/);
    expect(run('verify')).toMatchObject({ code: 0, err: '' });
  });
});
