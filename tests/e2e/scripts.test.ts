import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const program = join(root, 'dist/dryfit.js');
const folder = mkdtempSync(join(tmpdir(), 'dryfit-scripts-'));

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

interface Ran {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

const dryfit = (...args: readonly string[]): Ran =>
  spawnSync(process.execPath, [program, ...args], {
    encoding: 'utf8',
    cwd: root,
    env: { ...process.env, XDG_CONFIG_HOME: join(folder, 'config'), XDG_CACHE_HOME: join(folder, 'cache') },
  });

const oneLine = /^[^\n]+\n$/;

const rehearsed = (script: string, state: string): Ran =>
  dryfit('rehearse', join(root, 'tests/scripts', script), '--state', join(folder, state));

const recordOf = (state: string): string => {
  const records = join(folder, state, 'records');
  return join(records, readdirSync(records)[0] ?? '', '1');
};

const sshVerify = (state: string, record: string): Ran =>
  spawnSync(
    'ssh-keygen',
    [
      '-Y',
      'verify',
      '-f',
      join(folder, state, 'allowed_signers'),
      '-I',
      'ines',
      '-n',
      'dryfit-record',
      '-s',
      join(record, 'record.json.sig'),
    ],
    { input: readFileSync(join(record, 'record.json')), encoding: 'utf8' },
  );

describe('scripted sessions', () => {
  it('hold the laws of values and cures at the limits', () => {
    const ran = rehearsed('edges.yaml', 'edges');
    expect(ran.stderr).toBe('');
    expect(ran.status).toBe(0);
  });

  it('end with a record of the keel scarf that ssh-keygen accepts, and not after any byte is changed', () => {
    expect(rehearsed('keel-scarf.yaml', 'keel')).toMatchObject({ status: 0, stderr: '' });
    const record = recordOf('keel');
    expect(sshVerify('keel', record).stdout).toContain('Good "dryfit-record" signature for ines');
    expect(dryfit('verify', join(folder, 'keel')).status).toBe(0);
    const path = join(record, 'record.json');
    const good = readFileSync(path);
    for (let at = 7; at < good.length; at += Math.ceil(good.length / 12)) {
      const bad = Buffer.from(good);
      bad[at] = (bad[at] ?? 0) ^ 1;
      writeFileSync(path, bad);
      expect(sshVerify('keel', record).status, `byte ${at}`).not.toBe(0);
      const told = dryfit('verify', record);
      expect(told.status, `byte ${at}`).toBe(1);
      expect(told.stderr, `byte ${at}`).toContain('record.json');
    }
    writeFileSync(path, good);
    expect(dryfit('verify', record).status).toBe(0);
  });

  it('stop at the first difference and name its place; what is refused writes nothing', () => {
    const script = join(folder, 'differs.yaml');
    const text = readFileSync(join(root, 'tests/scripts/edges.yaml'), 'utf8');
    cpSync(join(root, 'tests/scripts/procedures'), join(folder, 'procedures'), { recursive: true });
    writeFileSync(script, text.replace('hardener: 44.88 g }, expect: within', 'hardener: 44.88 g }, expect: outside'));
    const ran = dryfit('rehearse', script, '--state', join(folder, 'differs'));
    expect(ran.status).toBe(1);
    expect(ran.stderr).toMatch(/differs\.yaml:10:\d+: error differs/);
    writeFileSync(script, text.replace('read: bore', 'read: boar'));
    expect(dryfit('rehearse', script, '--state', join(folder, 'unknown')).status).toBe(2);
  });
});

describe('a failed sample', () => {
  it('finds its joint and what was built over it in two other jobs, and rewrites their records', () => {
    const ran = rehearsed('failed-sample.yaml', 'failed');
    expect(ran).toMatchObject({ status: 0, stderr: '' });
    const state = join(folder, 'failed');
    const traced = dryfit('--state', state, 'trace', 'B-2', '--json');
    expect(traced).toMatchObject({ status: 0, stderr: '' });
    const trace = JSON.parse(traced.stdout) as {
      rests: { kind: string; step: string }[];
      over: { job: string; step: string }[];
    };
    expect(trace.rests.map(({ kind, step }) => `${kind} ${step}`)).toEqual([
      'batch mix',
      'joint close',
      'value close',
      'cure cure',
      'sample mix',
    ]);
    expect(trace.over.map(({ job, step }) => `${job.replace(/-[0-9a-f]{6}$/, '')} ${step}`)).toEqual([
      'skin-bond jig',
      'skin-bond close',
      'tip-fit fit',
    ]);
    for (const job of readdirSync(join(state, 'records')))
      expect(readdirSync(join(state, 'records', job)).length, job).toBeGreaterThan(1);
    const status = JSON.parse(dryfit('--state', state, 'status', '--json').stdout) as {
      jobs: { nonconformances: string[] }[];
    };
    expect(status.jobs.flatMap((job) => job.nonconformances)).toEqual([]);
    expect(dryfit('verify', state).status).toBe(0);
    const unknown = dryfit('--state', state, 'trace', 'B-22');
    expect(unknown.status).toBe(2);
    expect(unknown.stderr).toMatch(oneLine);
  });
});

describe('a cold night', () => {
  it('counts 18 of 38 hours by the logger, and traces the failed sample to its joint', () => {
    expect(rehearsed('cold-night.yaml', 'cold')).toMatchObject({ status: 0, stderr: '' });
    const state = join(folder, 'cold');
    expect(dryfit('verify', state).status).toBe(0);
    const trace = JSON.parse(dryfit('--state', state, 'trace', 'B-1', '--json').stdout) as {
      rests: { step: string }[];
    };
    expect(new Set(trace.rests.map(({ step }) => step))).toEqual(
      new Set(['mix', 'spread', 'clamp', 'bond-cure', 'clamps-off', 'break-sample']),
    );
    const [kept] = readdirSync(join(state, 'attachments'));
    writeFileSync(join(state, 'attachments', kept ?? ''), 'time,temp (C)\n2026-03-02 12:00,25\n');
    const told = dryfit('verify', state);
    expect(told.status).toBe(1);
    expect(told.stderr).toContain(kept);
  });
});

describe('clocks', () => {
  it('count elapsed time across daylight saving, a leap day and another zone, and nothing where a clock went back', () => {
    expect(rehearsed('clocks.yaml', 'clocks')).toMatchObject({ status: 0, stderr: '' });
    const state = join(folder, 'clocks');
    expect(dryfit('verify', state).status).toBe(0);
    const records = readdirSync(join(state, 'records')).map((job) =>
      readFileSync(join(state, 'records', job, '1/record.json'), 'utf8'),
    );
    expect(records).toHaveLength(4);
    // The log over the leap day is among the attachments, under its hash.
    const [named = ''] = records.flatMap(
      (text) => /"logs": ?\[[^\]]*"sha256": ?"([0-9a-f]{64})"/.exec(text)?.[1] ?? [],
    );
    expect(readdirSync(join(state, 'attachments'))).toEqual([`${named}.csv`]);
    // Only the cure with the clock that went back has doubtful readings, and its record names them.
    expect(records.filter((text) => /"doubtful": ?true/.test(text))).toHaveLength(1);
  });
});

describe('refusals on the command line', () => {
  const state = join(folder, 'real');
  const act = (...words: readonly string[]): Ran =>
    dryfit('--state', state, '--procedures', join(root, 'tests/e2e/procedures'), ...words);

  it('print one line with the code on stderr and at most the way to write down what is done, exit 3, and enter nothing', () => {
    expect(act('person', 'add', 'ines', '--power', 'builder').status).toBe(0);
    expect(act('start', 'block-bond').status).toBe(0);
    const refused = (code: string, ...words: readonly string[]): void => {
      const ran = act('do', 'block-bond', ...words);
      expect(ran.stderr).toMatch(/^[^\n]+\n( {2}if it is done already, [^\n]+\n)?$/);
      expect(ran.stderr).toContain(`refused ${code}:`);
      expect(ran.status).toBe(3);
    };
    refused('out-of-order', 'finish', 'mix');
    expect(act('do', 'block-bond', 'read', 'gap', 'value=0,1').status).toBe(0);
    refused('reason-missing', 'read', 'gap', 'value=0.1 mm');
    expect(act('do', 'block-bond', 'skip', 'dry-fit', 'because=no time', 'before=hull-close').status).toBe(0);
    expect(act('do', 'block-bond', 'lot', 'adhesive', 'number=L-1', 'use-by=2099-01-01').status).toBe(0);
    const mix = ['mix', 'mix', 'weights.resin=100 g', 'weights.hardener=44 g', 'sample=S-1'];
    refused('proof-missing', ...mix);
    expect(
      act('do', 'block-bond', 'depart', 'proof-missing', 'says=fit it dry', 'did=not', 'because=the jig shows it')
        .status,
    ).toBe(0);
    expect(act('do', 'block-bond', ...mix).status).toBe(0);
    expect(act('do', 'block-bond', 'finish', 'mix').status).toBe(0);
    expect(act('do', 'block-bond', 'finish', 'spread').status).toBe(0);
    refused('cure-not-reached', 'finish', 'cure');
    refused('out-of-order', 'release', 'look');
    expect(act('verify').status).toBe(0);
  });

  it('exit 2 for a wrong call, with one line that names the nearest word', () => {
    for (const words of [
      ['do', 'block-bond', 'raed', 'gap', 'value=1 mm'],
      ['do', 'block-bond', 'read', 'gab', 'value=1 mm'],
      ['do', 'block-bond', 'read', 'gap', 'vlaue=1 mm'],
      ['do', 'block-bond', 'read', 'gap', 'value=wide'],
      ['do', 'no-such-job', 'remark', 'x'],
      ['statsu'],
      ['status', '--jsno'],
    ]) {
      const ran = act(...words);
      expect(ran.status, words.join(' ')).toBe(2);
      expect(ran.stderr, words.join(' ')).toMatch(oneLine);
    }
  });
});

describe('a hold point', () => {
  it('cannot be released by the builder, with or without the power', () => {
    const script = join(folder, 'hold.yaml');
    writeFileSync(
      script,
      `script: hold
build: { people: [{ person: a, powers: [builder] }, { person: b, powers: [builder, inspector] }, { person: c, powers: [inspector] }] }
procedures: ${join(folder, 'hold-procedures')}
entries:
  - { at: 2026-03-02T09:00:00+01:00, as: a, start: hold }
  - { finish: one, with: b }
  - { release: look, expect: refused, code: power }
  - { as: b, release: look, expect: refused, code: own-work }
  - { as: c, release: look }
  - { as: a, finish: look }
  - { complete: true }
`,
    );
    cpSync(join(root, 'tests/e2e/hold-procedures'), join(folder, 'hold-procedures'), { recursive: true });
    expect(dryfit('rehearse', script, '--state', join(folder, 'hold'))).toMatchObject({ status: 0, stderr: '' });
  });
});
