import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { fixture, machine, type Machine } from '../support/command.ts';

const head = `script: a session
build: { people: [{ person: first, powers: [builder] }, { person: second, powers: [inspector] }, { person: third, powers: [helper] }], gates: [hull-close] }
procedures: ${fixture('procedures')}
entries:
  - { at: 2026-03-02T09:00:00+01:00, as: first, start: small-plate, each: left }
`;
const entries = (...lines: readonly string[]): string => head + lines.map((line) => `  - ${line}\n`).join('');
const rehearse = (own: Machine, text: string, ...more: readonly string[]) => {
  const script = own.file('s.yaml', text);
  return own.run(['rehearse', script, '--state', own.state, ...more]);
};

describe('the keel scarf bond, from its start to its record', () => {
  const own = machine();
  let job = '';
  beforeAll(async () => {
    const ran = await own.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', own.state]);
    expect(ran.err).toBe('');
    expect(ran.code).toBe(0);
    [job = ''] = readdirSync(join(own.state, 'records'));
  });
  const record = (name: string): string => join(own.state, 'records', job, '1', name);
  const sshVerify = (bytes: Uint8Array): string =>
    execFileSync(
      'ssh-keygen',
      [
        '-Y',
        'verify',
        '-f',
        join(own.state, 'allowed_signers'),
        '-I',
        'first',
        '-n',
        'dryfit-record',
        '-s',
        record('record.json.sig'),
      ],
      { input: bytes, encoding: 'utf8', stdio: ['pipe', 'pipe', 'pipe'] },
    );

  it('leaves a record whose signature ssh-keygen verifies', () => {
    expect(sshVerify(readFileSync(record('record.json')))).toMatch(/^Good "dryfit-record" signature for first/);
  });

  it('leaves a record that ssh-keygen rejects with any byte changed', () => {
    const bytes = readFileSync(record('record.json'));
    for (const at of [0, Math.floor(bytes.length / 2), bytes.length - 1]) {
      const changed = Buffer.from(bytes);
      changed[at] = (changed[at] ?? 0) ^ 1;
      expect(() => sshVerify(changed)).toThrow();
    }
  });

  it('passes verify: every line, every signature, the rules, the record', async () => {
    const ran = await own.run(['verify', '--state', own.state]);
    expect(ran.err).toBe('');
    expect(ran.out).toContain('signatures good, by keys that the journal itself introduces');
    expect(ran.out).toContain('record.json: as the journal gives it');
    expect(ran.out).toContain('scripted');
    expect(ran.code).toBe(0);
  });

  it('says everywhere that it is scripted, and holds no private keys but throwaway ones', () => {
    expect(own.journal()[0]?.['data']).toMatchObject({ scripted: true });
    expect(JSON.parse(readFileSync(record('record.json'), 'utf8'))).toMatchObject({ scripted: true });
    expect(readdirSync(join(own.state, 'scripted-keys'))).toEqual(['first.key', 'second.key']);
    expect(existsSync(join(own.folder, 'home/.config/dryfit/keys'))).toBe(false);
  });

  it('leaves records that others may read, and keys that they may not', () => {
    expect(statSync(record('record.json')).mode & 0o777).toBe(0o644);
    expect(statSync(join(own.state, 'scripted-keys/first.key')).mode & 0o777).toBe(0o600);
  });

  it('keeps in the record what was struck, refused and discarded', () => {
    const text = readFileSync(record('record.json'), 'utf8');
    for (const kept of ['2.19 mm', '262 mm', '44.881 g', 'a bead is missing at the forward tip'])
      expect(text).toContain(kept);
  });

  it('has the same status however often it is asked for', async () => {
    const first = await own.run(['status', '--json', '--state', own.state]);
    const again = await own.run(['status', '--json', '--state', own.state]);
    expect(again.out).toBe(first.out);
    expect(first.json()).toMatchObject({ scripted: true, jobs: [{ id: job, state: 'complete' }] });
  });
});

describe('rehearse', () => {
  it('prints each entry that was saved, in the order of the journal', async () => {
    const own = machine();
    const ran = await rehearse(
      own,
      entries('{ read: width, value: 12.6 mm, expect: within }', '{ finish: measure }'),
      '--json',
    );
    expect(ran.code).toBe(0);
    const told = ran.out
      .trim()
      .split('\n')
      .map((line) => (JSON.parse(line) as { entry: string }).entry);
    const lines = own.journal().map(({ writer, seq }) => `${String(writer)}:${String(seq)}`);
    expect(lines.slice(-told.length)).toEqual(told);
  });

  it('stops at the first entry that differs, with file, line and column and exit 1, and writes nothing of it', async () => {
    const own = machine();
    const ran = await rehearse(own, entries('{ read: width, value: 12.7 mm, expect: within }', '{ finish: measure }'));
    expect(ran.code).toBe(1);
    expect(ran.err).toMatch(/s\.yaml:6:5: error differs: read was to be within, and is outside/);
    expect(own.journal().at(-1)?.['type']).toBe('read');
  });

  it.each([
    ['{ finish: measure, expect: refused, code: part-missing }', 0],
    ['{ finish: measure, expect: refused }', 0],
    ['{ finish: measure }', 1],
    ['{ finish: measure, expect: refused, code: wait }', 1],
    ['{ read: width, value: 12.5 mm, expect: refused }', 1],
    ['{ read: width, value: 12.6 mm, expect: within }', 0],
    ['{ read: width, value: 12.601 mm, expect: within }', 1],
    ['{ read: width, value: 12.601 mm, expect: outside }', 0],
    ['{ read: width, value: 12.5 mm }', 0],
    ['{ read: width, value: 0.5 in, expect: outside }', 0],
    ['{ read: width, value: 12.5 furlong }', 2],
    ['{ read: width, value: 12.5 furlong, expect: refused }', 2],
    ['{ read: width }', 2],
    ['{ read: widht, value: 12.5 mm }', 2],
    ['{ finish: mesure }', 2],
    ['{ finish: measure, job: nothing-like-it }', 2],
    ['{ finish: measure, as: nobody }', 2],
    ['{ start: no-such-procedure }', 2],
    ['{ at: tomorrow, finish: measure }', 2],
    ['{ at: +1 fortnight, finish: measure }', 2],
    ['{ start: small-plate }', 2],
  ])('%s ends with %i', async (entry, code) => {
    const ran = await rehearse(machine(), entries(entry));
    expect(ran.err.split('\n').filter((line) => line !== '').length).toBe(code === 0 ? 0 : 1);
    if (code !== 0) expect(ran.err).toMatch(/s\.yaml:6:5: error /);
    expect(ran.code).toBe(code);
  });

  it('carries time and person on to the next entry; relative times count from the entry before', async () => {
    const own = machine();
    const ran = await rehearse(
      own,
      entries(
        '{ at: +20h, remark: one }',
        '{ remark: two }',
        '{ at: +10min, as: second, remark: three }',
        '{ at: +2d, remark: four }',
      ),
    );
    expect(ran.err).toBe('');
    const said = own.journal().filter(({ type }) => type === 'remark');
    expect(said.map(({ at, by }) => [at, by])).toEqual([
      ['2026-03-03T05:00:00+01:00', 'first'],
      ['2026-03-03T05:00:00+01:00', 'first'],
      ['2026-03-03T05:10:00+01:00', 'second'],
      ['2026-03-05T05:10:00+01:00', 'second'],
    ]);
  });

  it('keeps two sides apart: an entry belongs to the job started last, unless one is named', async () => {
    const own = machine();
    const ran = await rehearse(
      own,
      entries(
        '{ start: small-plate, each: right }',
        '{ read: width, value: 12.5 mm }',
        '{ job: small-plate-left, read: width, value: 12.4 mm }',
        '{ job: small-plate/right, finish: measure }',
        '{ job: small-plate, finish: measure }',
      ),
    );
    expect(ran.err).toMatch(/s\.yaml:10:5: error job-ambiguous/);
    const jobs = own
      .journal()
      .filter(({ type }) => type === 'read')
      .map(({ job }) => String(job).slice(0, 17));
    expect(jobs).toEqual(['small-plate-right', 'small-plate-left-']);
  });

  it('continues in a state that it began, with or without the same build', async () => {
    const own = machine();
    expect((await rehearse(own, entries('{ read: width, value: 12.5 mm }'))).code).toBe(0);
    const without = `script: more\nentries:\n  - { at: 2026-03-03T09:00:00+01:00, as: first, finish: measure }\n`;
    expect(await rehearse(own, without)).toMatchObject({ code: 0, err: '' });
    const lines = own.journal();
    expect(lines.map(({ seq }) => seq)).toEqual(lines.map((_, index) => index + 1));
    expect((await rehearse(own, entries())).code).toBe(0);
    const other = entries().replace('hull-close', 'cover');
    expect(await rehearse(own, other)).toMatchObject({
      code: 2,
      err: expect.stringMatching(/s\.yaml:2:\d+: error build-differs/) as string,
    });
  });

  it('never writes in a real state, and a new state needs a build', async () => {
    const own = machine();
    await own.run(['person', 'add', 'ines', '--state', own.state]);
    const before = own.journal().length;
    expect(await rehearse(own, entries())).toMatchObject({
      code: 2,
      err: expect.stringContaining('not-scripted') as string,
    });
    expect(own.journal().length).toBe(before);
    const other = machine();
    const bare = 'script: x\nentries:\n  - { at: 2026-03-02T09:00:00+01:00, as: first, remark: a }\n';
    expect(await rehearse(other, bare)).toMatchObject({
      code: 2,
      err: expect.stringContaining('build-missing') as string,
    });
  });

  it('keeps a scripted state scripted: entries made in it by hand are signed with its throwaway keys', async () => {
    const own = machine();
    await rehearse(own, entries());
    const ran = await own.run([
      'do',
      'small-plate',
      'read',
      'width',
      'value=12.5 mm',
      '--state',
      own.state,
      '--as',
      'first',
    ]);
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect((await own.run(['verify', '--state', own.state])).out).toContain('scripted');
  });

  it.each([
    ['procedure: a\ntitle: b\n', /s\.yaml:1:1: error script-unreadable/],
    ['script: [a\n', /s\.yaml:\d+:\d+: error not-yaml/],
    ['', /s\.yaml:1:1: error empty-file/],
    ['script: "\\e[2J"\nentries: [a]\n', /s\.yaml:1:\d+: error control-character/],
    [head.replace('at: 2026-03-02T09:00:00+01:00, ', ''), /s\.yaml:5:5: error at-missing/],
    [head.replace('2026-03-02T09:00:00+01:00', '2026-02-30T09:00:00+01:00'), /s\.yaml:5:5: error instant-unreadable/],
    [head.replace('powers: [builder]', 'powers: [pilot]'), /s\.yaml:2:\d+: error power-unknown/],
    [head.replace('as: first, ', ''), /s\.yaml:5:5: error person-missing/],
  ])('%j is called wrongly', async (text, message) => {
    const own = machine();
    const ran = await rehearse(own, text);
    expect(ran.err).toMatch(message);
    expect(ran.err).not.toContain('\u001b');
    expect(ran.code).toBe(2);
  });

  it('reports a script that is missing', async () => {
    const own = machine();
    expect(await own.run(['rehearse', 'no.yaml', '--state', own.state])).toMatchObject({
      code: 2,
      err: expect.stringContaining('no.yaml') as string,
    });
    expect(existsSync(own.state)).toBe(false);
  });

  it('stores pictures beside the script by their hash', async () => {
    const own = machine();
    mkdirSync(join(own.folder, 'pictures'));
    writeFileSync(join(own.folder, 'pictures/dry.JPG'), 'a picture');
    const ran = await rehearse(
      own,
      entries(
        '{ read: width, value: 12.5 mm }',
        '{ finish: measure }',
        '{ photo: dry, file: pictures/dry.JPG }',
        '{ finish: dry-fit }',
      ),
    );
    expect(ran.err).toBe('');
    const [name = ''] = readdirSync(join(own.state, 'attachments'));
    expect(name).toMatch(/^[0-9a-f]{64}\.jpg$/);
    const photo = own.journal().find(({ type }) => type === 'photo');
    expect(photo?.['data']).toMatchObject({ file: 'dry.JPG', 'file-sha256': name.slice(0, 64) });
    writeFileSync(join(own.state, 'attachments', name), 'another picture');
    expect(await own.run(['verify', '--state', own.state])).toMatchObject({
      code: 1,
      err: expect.stringContaining(name) as string,
    });
  });
});
