import { cpSync, existsSync, mkdirSync, readdirSync, renameSync, rmSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Outcome } from '../../src/fault/fault.ts';
import { realDisk } from '../../src/store/disk.ts';
import type { Done } from '../../src/workshop/intent.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import { openWorkshop, type Workshop } from '../../src/workshop/workshop.ts';
import { fixture, machine, projectFolder, type Machine } from '../support/command.ts';

/* The folder of an open session goes away, on a real disk. `npm run faults -- moved` tries every moment of it in memory. */

let own: Machine;
let template: Machine;
beforeAll(async () => {
  template = machine();
  const ran = await template.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', template.state]);
  expect(ran).toMatchObject({ code: 0, err: '' });
});
beforeEach(() => {
  own = machine();
  cpSync(template.state, own.state, { recursive: true });
});

const open = (state: string): Workshop => {
  const opened = openWorkshop(
    {
      disk: realDisk,
      state,
      config: join(own.folder, 'config'),
      cache: join(own.folder, 'cache'),
      procedures: join(projectFolder, 'procedures'),
      wall: () => Date.parse('2026-06-01T09:00:00Z'),
      monotonic: () => 0,
      offset: () => 60,
      random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
    },
    'write',
  );
  if (!opened.ok) throw new Error(opened.fault.what);
  return opened.value;
};

const remark = (workshop: Workshop): Outcome<Done> => {
  const job = workshop.state().jobOrder[0] ?? '';
  const signers = keyring(workshop.place, workshop.state, () => undefined)({});
  return workshop.submit({ verb: 'remark', job, by: 'first', data: { text: 'seen' } }, signers);
};

const codeOf = (outcome: Outcome<Done>): string => (outcome.ok ? 'taken' : outcome.fault.code);
const elsewhere = (): string => join(own.folder, 'elsewhere');

describe.each([
  ['before its first entry', 0],
  ['after its first entry', 1],
])('in an open session, %s,', (_, entries) => {
  it.each([
    ['moved', () => renameSync(own.state, elsewhere()), () => !existsSync(own.state)],
    [
      'emptied',
      () => {
        renameSync(own.state, elsewhere());
        mkdirSync(own.state);
      },
      () => readdirSync(own.state).length === 0,
    ],
    [
      'replaced by a copy',
      () => {
        renameSync(own.state, elsewhere());
        cpSync(elsewhere(), own.state, { recursive: true });
      },
      () => readdirSync(join(own.state, 'journal')).length === readdirSync(join(elsewhere(), 'journal')).length,
    ],
  ])('a folder that is %s is not written to, and the session says so', (_name, harm, isUntouched) => {
    const workshop = open(own.state);
    for (let one = 0; one < entries; one += 1) expect(codeOf(remark(workshop))).toBe('taken');
    const before = workshop.state().entries;
    harm();
    for (const _again of [1, 2]) {
      const done = remark(workshop);
      expect(codeOf(done)).toMatch(/^(state-away|journal-stopped)$/);
      expect(done.ok ? '' : done.fault.what).toMatch(/not there any more|another folder is now in the place/);
    }
    workshop.close();
    expect(isUntouched()).toBe(true);
    expect(open(elsewhere()).state().entries).toBe(before);
  });

  it('a link that is switched to another state is not followed', () => {
    const link = join(own.folder, 'link');
    cpSync(own.state, elsewhere(), { recursive: true });
    symlinkSync(own.state, link);
    const workshop = open(link);
    for (let one = 0; one < entries; one += 1) expect(codeOf(remark(workshop))).toBe('taken');
    rmSync(link);
    symlinkSync(elsewhere(), link);
    expect(codeOf(remark(workshop))).toBe('state-away');
    workshop.close();
  });
});
