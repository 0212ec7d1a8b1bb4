import { cpSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { fixture, machine, type Machine, type Ran } from '../support/command.ts';

/*
 * A script copies a state, and verifies the copy. It must not pass where the copy failed: where nothing is there, or only a part.
 */

const original = machine();
beforeAll(async () => {
  const ran = await original.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', original.state]);
  expect(ran.code).toBe(0);
  // the machine goes on after the record, twice
  for (const day of ['20', '21']) {
    const more = ['do', 'keel', 'remark', 'kept dry since', '--as', 'first', '--state', original.state];
    expect((await original.run([...more, '--now', `2026-03-${day}T09:00:00+01:00`])).code).toBe(0);
  }
});

const copied = (...left: readonly string[]): Machine => {
  const own = machine();
  cpSync(original.state, own.state, { recursive: true });
  for (const name of left) rmSync(join(own.state, name), { recursive: true });
  return own;
};

const wronglyCalled = (ran: Ran, said: string): void => {
  expect(ran).toMatchObject({ code: 2, out: '' });
  expect(ran.err).toContain(said);
};

describe('verify is called wrongly where there is no state and no record (exit 2)', () => {
  it('a path that does not exist, however it is named', async () => {
    const own = machine();
    const typo = join(own.folder, 'typo');
    wronglyCalled(await own.run(['verify', '--state', typo]), `there is nothing at ${typo}`);
    wronglyCalled(await own.run(['verify', typo]), `there is nothing at ${typo}`);
    wronglyCalled(await own.run(['verify'], { variables: { DRYFIT_STATE: typo } }), `there is nothing at ${typo}`);
    wronglyCalled(await own.run(['verify']), 'no state is here, nor in a folder above');
    wronglyCalled(await own.run(['verify', '']), 'the path is an empty text');
  });

  it('an empty folder, and one that has neither a journal nor a record', async () => {
    const own = machine();
    mkdirSync(own.state);
    for (const argv of [['verify'], ['verify', 'state'], ['verify', '--state', 'state']]) {
      wronglyCalled(await own.run([...argv]), 'it has no journal and no record.json');
    }
    writeFileSync(join(own.state, 'build.yaml'), 'gates: [first-flight]\n');
    wronglyCalled(await own.run(['verify', 'state']), 'it has no journal and no record.json');
  });

  it('a folder inside a state: it names the state', async () => {
    const own = copied();
    wronglyCalled(await own.run(['verify', 'state/journal']), `it is inside the state ${own.state}`);
    wronglyCalled(await own.run(['verify', 'state/records']), 'records/JOB/NUMBER');
  });
});

describe('verify finds a copy that failed half-way (exit 1)', () => {
  const partOf: readonly (readonly [string, string, ...string[]])[] = [
    ['no journal', 'the journal is gone', 'journal'],
    ['no records', 'a record of this completed job is missing', 'records'],
    ['no procedures', 'procedures/', 'procedures'],
    ['no builds', 'builds/', 'builds'],
    ['records alone', 'the journal is gone', 'journal', 'procedures', 'builds', 'allowed_signers'],
    ['keys alone', 'the journal is gone', 'journal', 'procedures', 'builds', 'records'],
  ];

  it.each(partOf)('%s', async (_, said, ...left) => {
    const ran = await copied(...left).run(['verify']);
    expect(ran.code).toBe(1);
    expect(ran.err).toContain(said);
    expect(ran.out + ran.err).not.toContain('nothing is wrong');
  });

  it('an empty journal/ beside the rest', async () => {
    const own = copied('journal');
    mkdirSync(join(own.state, 'journal'));
    const ran = await own.run(['verify']);
    expect(ran.code).toBe(1);
    expect(ran.err).toContain('the journal is gone');
  });

  it('records missing, or a part of a record; the last alone may be owed, after a kill', async () => {
    const [job = ''] = readdirSync(join(original.state, 'records'));
    const parts = ['record.json', 'record.json.sig', 'record.html', 'record.html.sig', 'holds'];
    for (const left of [['1'], ['2'], ['2', '3'], ['1', '2', '3'], ...parts.map((part) => [`3/${part}`])]) {
      const ran = await copied(...left.map((name) => join('records', job, name))).run(['verify']);
      expect(ran.code, left.join()).toBe(1);
      expect(ran.err, left.join()).toContain(`records/${job}`);
    }
    const ran = await copied(join('records', job, '3')).run(['verify']);
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(ran.out).toContain('nothing was found changed; open: 1 record owed');
  });

  it('each file of a state cut short', async () => {
    const names = readdirSync(original.state, { recursive: true, withFileTypes: true }).filter((one) => one.isFile());
    for (const { parentPath, name } of names) {
      const inside = join(parentPath, name).slice(original.state.length + 1);
      if (/^(?:build\.yaml|\.gitattributes|allowed_signers|scripted-keys\/.*)$/.test(inside)) continue;
      const own = copied();
      writeFileSync(join(own.state, inside), '');
      const ran = await own.run(['verify']);
      expect(ran.code, inside).toBe(1);
    }
  });
});
