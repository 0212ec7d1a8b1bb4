import { execFileSync } from 'node:child_process';
import { appendFileSync, cpSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner, signLine } from '../../src/signing/signer.ts';
import { lineHash } from '../../src/proof/line.ts';
import { fixture, machine, type Machine } from '../support/command.ts';

/* Somebody with the folder in their hands, and without the keys, wants verify to believe what was not. */

const original = machine();
let job = '';
const now = (day: number): readonly string[] => ['--now', `2026-03-${day}T09:00:00+01:00`];
/** A completed job with two records, and lines of two machines: what was written here last has seen all of the other. */
beforeAll(async () => {
  expect((await original.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', original.state])).code).toBe(
    0,
  );
  [job = ''] = readdirSync(join(original.state, 'records'));
  const home = join(original.folder, 'home');
  const remark = (day: number) =>
    original.run(['do', 'keel', 'remark', `day ${day}`, '--as', 'first', '--state', original.state, ...now(day)]);
  expect((await remark(12)).code).toBe(0);
  renameSync(home, join(original.folder, 'other-machine'));
  expect((await remark(13)).code).toBe(0);
  expect(readdirSync(join(original.state, 'journal'))).toHaveLength(2);
});

const copy = (): Machine => {
  const own = machine();
  cpSync(original.state, own.state, { recursive: true });
  return own;
};
const verify = async (own: Machine) => {
  const ran = await own.run(['verify', '--state', own.state]);
  expect(ran.err).not.toMatch(/bug:|\n\s+at /);
  return ran;
};
const wrong = async (own: Machine, ...found: readonly RegExp[]): Promise<void> => {
  const ran = await verify(own);
  for (const one of found) expect(ran.err).toMatch(one);
  expect(ran.code).toBe(1);
};
const noted = async (own: Machine, ...found: readonly RegExp[]): Promise<void> => {
  const ran = await verify(own);
  expect(ran.err).toBe('');
  for (const one of found) expect(ran.out).toMatch(one);
  expect(ran.code).toBe(0);
};
const files = (own: Machine): readonly string[] =>
  readdirSync(join(own.state, 'journal'))
    .map((name) => join(own.state, 'journal', name))
    .toSorted((a, b) => readFileSync(b).length - readFileSync(a).length);
const linesOf = (path: string): readonly string[] => readFileSync(path, 'utf8').split('\n').slice(0, -1);
const record = (own: Machine, ...path: readonly string[]): string => join(own.state, 'records', job, ...path);

it('verify finds nothing wrong with the state as it is, and says what it cannot prove', async () => {
  await noted(
    copy(),
    /not proved: whose hand held a key/,
    /not proved: that a clock was right/,
    /not proved: that nothing was cut off the end/,
  );
});

describe('a record put in the place of another', () => {
  it('an older one with its signature in the place of the latest is found', async () => {
    const own = copy();
    const last = readdirSync(record(own)).toSorted().at(-1) ?? '';
    rmSync(record(own, last), { recursive: true });
    cpSync(record(own, '1'), record(own, last), { recursive: true });
    await wrong(own, new RegExp(`^wrong: records/${job}/${last}: the same record as records/${job}/1`, 'm'));
  });

  it('the latest one removed is found, since the journal has more', async () => {
    const own = copy();
    rmSync(record(own, readdirSync(record(own)).toSorted().at(-1) ?? ''), { recursive: true });
    await noted(own, /the journal has more of this job than its latest record/);
  });

  it('one of another build, signed properly there, is found', async () => {
    const own = copy();
    const other = machine();
    expect((await other.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', other.state])).code).toBe(0);
    const [foreign = ''] = readdirSync(join(other.state, 'records'));
    cpSync(join(other.state, 'records', foreign), join(own.state, 'records', foreign), { recursive: true });
    await wrong(own, new RegExp(`^wrong: records/${foreign}/1/record\\.json`, 'm'));
    rmSync(join(own.state, 'records', foreign), { recursive: true });
    rmSync(record(own, '1'), { recursive: true });
    cpSync(join(other.state, 'records', foreign, '1'), record(own, '1'), { recursive: true });
    await wrong(own, new RegExp(`^wrong: records/${job}/1/record\\.json`, 'm'));
  });

  it('one under the name of another job is found', async () => {
    const own = copy();
    cpSync(record(own), join(own.state, 'records', `${job.slice(0, -6)}0a1b2c`), { recursive: true });
    await wrong(
      own,
      new RegExp(`records/${job.slice(0, -6)}0a1b2c/1/record\\.json: it rests on a journal line that is not here`),
    );
  });

  it('something beside it that looks like a part of it is found', async () => {
    const own = copy();
    writeFileSync(record(own, '1', 'certificate.pdf'), 'x');
    writeFileSync(record(own, '1', 'holds', 'inspect-9.json'), '{}');
    await noted(
      own,
      /1\/certificate\.pdf: the record does not name this file/,
      /1\/holds\/inspect-9\.json: the record does not name/,
    );
  });

  it('a signed answer that it names, removed, is found', async () => {
    const own = copy();
    rmSync(record(own, '1', 'holds', 'inspect-2.json'));
    await wrong(own, /inspect-2\.json is missing/);
  });
});

describe('lines cut off at a line feed', () => {
  it('are found where a line of another machine had seen them', async () => {
    const own = copy();
    const [long = ''] = files(own);
    writeFileSync(long, `${linesOf(long).slice(0, -1).join('\n')}\n`);
    await wrong(own, /rests on a line of \w+ that is not here/);
  });

  it('are found where they are a whole journal file that another has seen', async () => {
    const own = copy();
    rmSync(files(own)[0] ?? '');
    await wrong(own, /rests on a line of \w+ that is not here/);
  });

  it('that nobody else has seen are found by records that depend on them; without such records, verify says that nothing shows it', async () => {
    const own = copy();
    rmSync(files(own)[1] ?? '');
    await wrong(own, /records\/.*record\.json: it rests on a journal line that is not here/);
    rmSync(record(own, readdirSync(record(own)).toSorted().at(-1) ?? ''), { recursive: true });
    await noted(own, /not proved: that nothing was cut off the end, unless a record, another machine/);
  });
});

describe('lines of a thief', () => {
  const thief = makeSigner(secretFromSeed(new Uint8Array(32).fill(66)));
  const append = (own: Machine, by: string, type: string, data: Record<string, string>, jobOf = ''): void => {
    const [path = ''] = files(own);
    const lines = linesOf(path);
    const last = JSON.parse(lines.at(-1) ?? '{}') as { writer: string; seq: number; build: string; seen: object };
    const sealed = signLine(
      {
        v: 1,
        build: last.build,
        writer: last.writer,
        seq: last.seq + 1,
        prev: lineHash(lines.at(-1) ?? ''),
        seen: {},
        at: '2026-03-12T10:00:00+01:00',
        by,
        job: jobOf,
        type,
        data,
      },
      thief,
    );
    if (!sealed.ok) throw new Error(sealed.fault.what);
    appendFileSync(path, `${sealed.value.text}\n`);
  };

  it('are found where they are signed with a key of their own, in the name of a builder or an inspector', async () => {
    for (const by of ['first', 'second']) {
      const own = copy();
      append(own, by, 'remark', { text: 'all is well' }, job);
      await wrong(
        own,
        new RegExp(`journal/\\w+\\.jsonl:\\d+: ${by} signs with SHA256:.*a key that the build does not know here`),
      );
    }
  });

  it('are found where they introduce that key themselves', async () => {
    const own = copy();
    append(own, 'second', 'key', { person: 'second', key: thief.publicKey.text });
    await wrong(own, /journal\/\w+\.jsonl:\d+: second introduces a (?:further )?key that n/);
  });

  it('a whole build signed anew is consistent, and no longer the build of its records', async () => {
    const own = copy();
    const other = machine();
    expect((await other.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', other.state])).code).toBe(0);
    for (const name of ['journal', 'procedures', 'builds', 'allowed_signers']) {
      rmSync(join(own.state, name), { recursive: true });
      cpSync(join(other.state, name), join(own.state, name), { recursive: true });
    }
    await wrong(own, /records\/.*record\.json: it rests on a journal line that is not here/);
    rmSync(join(own.state, 'records'), { recursive: true });
    await noted(own, /by keys that the journal itself introduces/, /not proved: whose hand held a key/);
  });
});

describe('the files beside the journal', () => {
  it('an attachment that was exchanged or removed is found', async () => {
    const own = machine();
    own.file('dry.jpg', 'a picture');
    const script = own.file(
      's.yaml',
      `script: a picture
build: { people: [{ person: first, powers: [builder] }] }
procedures: ${fixture('procedures')}
entries:
  - { at: 2026-03-02T09:00:00+01:00, as: first, start: small-plate, each: left }
  - { read: width, value: 12.5 mm }
  - { finish: measure }
  - { photo: dry, file: dry.jpg }
`,
    );
    expect(await own.run(['rehearse', script, '--state', own.state])).toMatchObject({ code: 0, err: '' });
    const folder = join(own.state, 'attachments');
    const names = readdirSync(folder);
    expect(names.length).toBeGreaterThan(0);
    writeFileSync(join(folder, names[0] ?? ''), 'another picture');
    await wrong(own, new RegExp(`attachments/${names[0]}: .*journal/\\w+\\.jsonl:\\d+ names it`));
    rmSync(join(folder, names[0] ?? ''));
    await wrong(own, new RegExp(`attachments/${names[0]}`));
  });

  it('a key under another name in allowed_signers is found', async () => {
    const own = copy();
    const path = join(own.state, 'allowed_signers');
    writeFileSync(path, readFileSync(path, 'utf8').replace(/^second /m, 'third '));
    await wrong(own, /allowed_signers: it names a key that the journal does not have/);
  });

  it('build.yaml is a draft, and gives nobody a power until it is signed for', async () => {
    const own = copy();
    const path = join(own.state, 'build.yaml');
    writeFileSync(path, readFileSync(path, 'utf8').replace('builder', 'inspector'));
    await noted(own, /build\.yaml: a draft that is not taken in yet/);
    const builds = join(own.state, 'builds');
    const [taken = ''] = readdirSync(builds);
    writeFileSync(join(builds, taken), readFileSync(path));
    await wrong(own, new RegExp(`builds/${taken}`));
  });

  it('a signed record that is newer than the journal, which was put back, is found', async () => {
    const own = copy();
    const [long = ''] = files(own);
    const short = linesOf(long).slice(0, 20);
    for (const path of files(own).slice(1)) rmSync(path);
    writeFileSync(long, `${short.join('\n')}\n`);
    await wrong(own, /records\/.*record\.json: it rests on a journal line that is not here/);
  });
});

it('ssh-keygen alone agrees with verify about the record', async () => {
  const own = copy();
  const check = (): string => {
    const args = [
      '-Y',
      'verify',
      '-f',
      'allowed_signers',
      '-I',
      'first',
      '-n',
      'dryfit-record',
      '-s',
      record(own, '1', 'record.json.sig'),
    ];
    return execFileSync('ssh-keygen', args, {
      cwd: own.state,
      input: readFileSync(record(own, '1', 'record.json')),
      encoding: 'utf8',
    });
  };
  expect(check()).toContain('Good');
  writeFileSync(
    record(own, '1', 'record.json'),
    readFileSync(record(own, '1', 'record.json'), 'utf8').replace('22.1', '22.2'),
  );
  expect(check).toThrow();
  await wrong(own, /signature is not good/);
});
