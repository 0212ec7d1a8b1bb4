import { appendFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { realDisk } from '../../src/store/disk.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { fixture, machine, projectFolder, type Machine } from '../support/command.ts';

let own: Machine;
const at = (...argv: readonly string[]) =>
  own.run([...argv, '--state', own.state, '--procedures', fixture('procedures')], { now: '2026-03-04T10:00:00+01:00' });
const importing = (name: string, ...more: readonly string[]) => at('do', '-', 'temperatures', name, ...more);

const log = 'time,temperature (°C)\n2026-03-02 12:00,20.5\n2026-03-02 18:00,19.0\n';
const attachments = (): readonly string[] => {
  try {
    return readdirSync(join(own.state, 'attachments'));
  } catch {
    return [];
  }
};

beforeEach(async () => {
  own = machine();
  expect(await at('person', 'add', 'ines', '--name', 'Ines Varrow')).toMatchObject({ code: 0, err: '' });
});

describe('temperatures from a logger’s file', () => {
  it('are one entry that names the file by its hash; the file is among the attachments', async () => {
    own.file('log.csv', log);
    const ran = await importing('log.csv', 'place=paint shop');
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(ran.out).toContain('2 rows, 2026-03-02T12:00:00+01:00 to 2026-03-02T18:00:00+01:00');
    expect(ran.out).toContain('times without an offset taken at +01:00');
    const entry = own.journal().at(-1) as { type: string; data: Record<string, unknown> };
    expect(entry.type).toBe('temperatures');
    expect(entry.data).toMatchObject({ file: 'log.csv', place: 'paint shop', rows: 2 });
    const [kept] = attachments();
    expect(kept).toBe(`${String(entry.data['file-sha256'])}.csv`);
    expect(readFileSync(join(own.state, 'attachments', kept ?? ''), 'utf8')).toBe(log);
    expect(await at('verify', own.state)).toMatchObject({ code: 0, err: '' });
  });

  it('with a bad row are refused in one line, exit 2, and nothing is imported', async () => {
    own.file('log.csv', `${log}2026-03-02 19:00,\u001b[31mERR\n`);
    const ran = await importing('log.csv');
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toBe(
      'log.csv:4: error log-unreadable: line 4, column 2, "temperature (°C)": "\\u{1b}[31mERR" is no temperature; mend the line, or take it out; nothing was imported\n',
    );
    expect(attachments()).toEqual([]);
    expect(own.journal().at(-1)).not.toMatchObject({ type: 'temperatures' });
    expect(await importing('none.csv')).toMatchObject({ code: 2 });
  });

  it('are imported once the person has given what the file does not say', async () => {
    own.file('f.csv', 'time,inside,outside\n02/03/2026 12:00,68.5,31\n02/03/2026 18:00,67,30\n');
    const said: string[] = [];
    for (const word of ['column=inside', 'dates=day-first', 'unit=F']) {
      const ran = await importing('f.csv', ...said);
      expect(ran.code, said.join(' ')).toBe(2);
      said.push(word);
    }
    const ran = await importing('f.csv', ...said, 'offset=Z');
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(ran.out).toContain('dates day first');
    expect(ran.out).toContain('2026-03-02T12:00:00Z');
    expect(await at('verify', own.state)).toMatchObject({ code: 0, err: '' });
  });

  it('in a file that somebody changed are named by verify, and the state opens for reading only', async () => {
    own.file('log.csv', log);
    await importing('log.csv');
    const path = join(own.state, 'attachments', attachments()[0] ?? '');
    appendFileSync(path, '2026-03-02 19:00,25\n');
    const told = await at('verify', own.state);
    expect(told.code).toBe(1);
    expect(told.err).toContain(attachments()[0]);
    const next = await importing('log.csv');
    expect(next.code).not.toBe(0);
    expect(next.err).toContain(attachments()[0]);
    writeFileSync(path, log);
    expect(await at('verify', own.state)).toMatchObject({ code: 0, err: '' });
  });

  it('are struck by the name of their file', async () => {
    own.file('log.csv', log);
    await importing('log.csv');
    const ran = await at('do', '-', 'correct', 'log.csv', 'value=none', 'reason=it lay elsewhere');
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(ran.out).toContain('2 rows of log.csv count for nothing');
    expect(await at('verify', own.state)).toMatchObject({ code: 0, err: '' });
  });
});

describe('the README', () => {
  it('shows what status prints about the cold night', async () => {
    const text = readFileSync(join(projectFolder, 'tests/scripts/cold-night.yaml'), 'utf8');
    own.file(
      's.yaml',
      text
        .slice(0, text.indexOf('  # nobody logs anything'))
        .replace('../../procedures', join(projectFolder, 'procedures')),
    );
    const state = join(own.folder, 'cold');
    const now = '2026-03-04T02:00:00+01:00';
    expect(await own.run(['rehearse', 's.yaml', '--state', state])).toMatchObject({ code: 0, err: '' });
    own.file('keel-cold-night.csv', readFileSync(join(projectFolder, 'tests/scripts/logs/keel-cold-night.csv')));
    const words = ['do', 'keel-scarf-bond', 'temperatures', 'keel-cold-night.csv'];
    const ran = await own.run([...words, '--as', 'ines', '--state', state], { now });
    expect(ran).toMatchObject({ code: 0, err: '' });
    const status = await own.run(['status', '--state', state], { now });
    const line = status.out.split('\n').find((one) => one.includes('cure bond-cure handle')) ?? 'none';
    const readme = readFileSync(join(projectFolder, 'README.md'), 'utf8');
    expect(readme).toContain(`$ dryfit ${words.join(' ')}\n${ran.out}$ dryfit status\n...\n${line}\n`);
  });
});

describe('cures that run', () => {
  it('are in the status, each with its hours by the clock, its hours that count, and its forecast', async () => {
    const steps = (more: string): string => `
  - { at: 2026-03-02T09:00:00+01:00, as: first, start: edges }
  - { read: bore, value: 12.6 mm }
  - { read: gap, value: 0.5 in }
  - { finish: measure }
  - { mix: mix, weights: { resin: 100 g, hardener: 44 g } }
  - { finish: mix }
${more}`;
    own.file(
      's.yaml',
      `script: two cures
build: { people: [{ person: first, powers: [builder] }] }
procedures: ${join(projectFolder, 'tests/scripts/procedures')}
entries:
${steps('  - { temperature: 18 °C }')}
${steps('  - { at: 2026-03-02T15:00:00+01:00, temperature: 20 °C }')}
`,
    );
    const state = join(own.folder, 'two');
    expect(await own.run(['rehearse', 's.yaml', '--state', state])).toMatchObject({ code: 0, err: '' });
    const status = await own.run(['status', '--state', state], { now: '2026-03-02T19:30:00+01:00' });
    const lines = status.out.split('\n').filter((line) => line.includes('cure cure'));
    const line =
      '    cure cure handle: clock 10 h 30 min, counted 6 h of 18 h, ready about 2026-03-03 07:30 if it stays 20 °C';
    expect(lines).toEqual([line, line]);
    const json = await own.run(['status', '--state', state, '--json'], { now: '2026-03-02T19:30:00+01:00' });
    expect(json.json()).toMatchObject({
      jobs: [
        {
          cures: [
            {
              begun: '2026-03-02T08:00:00Z',
              temperature: '20 °C',
              stages: [{ countedMs: 21_600_000, needMs: 64_800_000, reached: false, forecast: '2026-03-03T06:30:00Z' }],
            },
          ],
        },
        {},
      ],
    });
  });
});

describe('a logger’s time without an offset, where the clocks were changed', () => {
  /** Clocks go forward on 29 March 2026 at 01:00 UTC. */
  const offset = (ms: number): number => (ms < Date.parse('2026-03-29T01:00:00Z') ? 60 : 120);
  const act = (text: string, now: string, more: Record<string, string> = {}) => {
    const opened = openWorkshop(
      {
        disk: realDisk,
        state: own.state,
        config: join(own.folder, 'home/.config/dryfit'),
        cache: join(own.folder, 'home/.cache/dryfit'),
        procedures: projectFolder,
        wall: () => Date.parse(now),
        monotonic: () => 0,
        offset,
        random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
      },
      'write',
    );
    if (!opened.ok) throw new Error(opened.fault.what);
    const workshop = opened.value;
    const file = own.file('dst.csv', text);
    const done = workshop.submit(
      { verb: 'temperatures', job: '', by: 'ines', data: { file, ...more } },
      keyring(workshop.place, workshop.state, () => undefined)({}),
    );
    workshop.close();
    return done;
  };
  const before = 'time,temp (C)\n2026-03-28 12:00,20\n2026-03-28 18:00,20\n';

  it('is asked for, and used as given', () => {
    const asked = act(before, '2026-03-30T08:00:00Z');
    expect(asked.ok ? 'taken' : asked.fault.code).toBe('offset-unsure');
    if (!asked.ok) expect(asked.fault.todo).toContain('offset=+01:00, or offset=+02:00');
    const told = act(before, '2026-03-30T08:00:00Z', { offset: '+01:00' });
    expect(told.ok ? told.value.data : told.fault).toMatchObject({ first: '2026-03-28T12:00:00+01:00' });
  });

  it('is not asked for where they were not, or where the file says it', () => {
    const plain = act(before, '2026-03-28T20:00:00Z');
    expect(plain.ok ? plain.value.data : plain.fault).toMatchObject({ first: '2026-03-28T12:00:00+01:00' });
    const zoned = act('time,temp (C)\n2026-03-28T12:00:00+01:00,20\n', '2026-03-30T08:00:00Z');
    expect(zoned.ok ? zoned.value.data : zoned.fault).toMatchObject({ first: '2026-03-28T13:00:00+02:00' });
  });
});
