import { copyFileSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, expect, it } from 'vitest';
import { fixture, machine, type Machine, type Ran } from '../support/command.ts';

let own: Machine;
let file = '';
const on = (...argv: readonly string[]): Promise<Ran> =>
  own.run([...argv, '--state', own.state], { now: '2026-03-20T12:00:00+01:00' });
const remark = (text: string): Promise<Ran> => on('do', 'keel', 'remark', text, '--as', 'first');

beforeEach(async () => {
  own = machine();
  expect((await on('rehearse', fixture('scripts/keel-scarf.yaml'))).code).toBe(0);
  file = join(own.state, 'journal', readdirSync(join(own.state, 'journal'))[0] ?? '');
});

it('status, do and verify name a copy that a file service made, do not count it, and say how to restore the file', async () => {
  const copy = file.replace('.jsonl', ' (conflicted copy 2026-03-20).jsonl');
  const before = readFileSync(file);
  copyFileSync(file, copy);
  const told = await on('status');
  expect(told.code).toBe(0);
  expect(told.err).toContain('(conflicted copy 2026-03-20).jsonl: a copy of journal/');
  expect((await on('verify')).code).toBe(0);

  // the service puts the older file in its place, and the one with the newer entry aside
  expect((await remark('planed the edge')).code).toBe(0);
  renameSync(file, copy);
  writeFileSync(file, before);
  for (const ran of [await on('status'), await remark('and on')]) {
    expect(ran.err).toMatch(/goes on where that ends: one entry of it are not in the build; .*rename it to journal\//);
  }
  const wrong = await on('verify');
  expect(wrong.code).toBe(1);
  expect(wrong.err).toMatch(/^wrong: journal\/.* \(conflicted copy 2026-03-20\)\.jsonl: a copy of journal\//m);
  expect((await on('record', 'keel')).out).not.toContain('planed the edge');

  // taken back as it says: nothing of either side is lost
  renameSync(copy, file);
  expect((await on('record', 'keel')).out).toContain('planed the edge');
  expect((await on('record', 'keel')).out).toContain('and on');
  expect(await on('verify')).toMatchObject({ code: 0, err: '' });
});
