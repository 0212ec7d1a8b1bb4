import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { openScreen, type Screen } from '../support/screen.ts';

const root = resolve(import.meta.dirname, '../..');
const program = join(root, 'dist/dryfit.js');
const folder = mkdtempSync(join(tmpdir(), 'dryfit-pot-life-'));
const state = join(folder, 'state');
const procedures = join(folder, 'procedures');
const env = {
  HOME: folder,
  XDG_CONFIG_HOME: join(folder, 'config'),
  XDG_CACHE_HOME: join(folder, 'cache'),
  LANG: 'C.UTF-8',
};
const open: Screen[] = [];

afterEach(async () => {
  for (const screen of open.splice(0)) await screen.close();
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** A procedure with a pot life of 35 minutes. The tests set the clock to shortly before its end. */
const procedure = `procedure: pot
title: Bond the block
revision: A
gather: { materials: [{ material: adhesive }] }
steps:
  - step: mix
    title: Mix the adhesive
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, pot-life: [35 min at 20 °C], source: invented for the demo }
  - step: spread
    title: Spread and close
    in-pot-life-of: mix
`;

const run = (now: string, ...args: readonly string[]): string => {
  const ran = spawnSync(
    process.execPath,
    [program, '--state', state, '--procedures', procedures, '--now', `2026-03-02T${now}+01:00`, ...args],
    { encoding: 'utf8', env: { ...process.env, ...env } },
  );
  expect(ran.stderr, args.join(' ')).toBe('');
  return ran.stdout;
};

const screen = (now: string, cols: number, rows: number, ...args: readonly string[]): Screen => {
  const opened = openScreen({
    command: process.execPath,
    args: [program, '--state', state, '--procedures', procedures, '--now', `2026-03-02T${now}+01:00`, ...args],
    cols,
    rows,
    env,
  });
  open.push(opened);
  return opened;
};

/** How often the bell rang. (The same character would also end an escape sequence that sets a title; dryfit sets none.) */
const bells = ({ bytes }: Screen): number => bytes().split('\u0007').length - 1;

beforeAll(() => {
  mkdirSync(procedures, { recursive: true });
  writeFileSync(join(procedures, 'pot.yaml'), procedure);
  run('09:00:00', 'person', 'add', 'ines');
  run('09:00:00', 'start', 'pot');
  run('09:00:00', 'do', 'pot', 'mix', 'mix', 'weights.resin=100 g', 'weights.hardener=44 g');
  run('09:01:00', 'do', 'pot', 'finish', 'mix');
});

describe.each([
  ['bench view', 48, 13],
  ['desk view', 80, 24],
] as const)('the end of a pot life at the bench, %s', (_name, cols, rows) => {
  it('shows STOP and rings the bell when the pot life ends, not before', async () => {
    const bench = screen('09:34:45', cols, rows, 'pot');
    await bench.see('pot life of B-1, to 09:35');
    expect(bells(bench)).toBe(0);
    await bench.see('STOP pot life of B-1 is over');
    await bench.waitFor((now) => bells(now) >= 1);
    await bench.see('discard batch B-1');
    await bench.see('depart from the manual');
    await bench.waitFor((now) => bells(now) === 2);
  });
});

describe('line by line', () => {
  it('--plain prints the same, with the bell and without cursor movements', async () => {
    const watch = screen('09:34:50', 80, 24, 'status', '--watch', '--plain');
    await watch.see(/pot life of B-1: \d+ s left/);
    await watch.see('STOP pot life of B-1 is over');
    await watch.waitFor((now) => bells(now) >= 1);
    expect(watch.bytes()).not.toContain('\u001b');
  });

  it('the status prints STOP after the end', () => {
    expect(run('09:36:00', 'status')).toContain('STOP pot life of B-1 ended 2026-03-02 09:35');
    expect(run('09:34:00', 'status')).toContain('pot life of B-1 ends 2026-03-02 09:35');
    expect(run('10:00:00', 'status', '--watch')).toBe('no pot life runs\n');
  });
});
