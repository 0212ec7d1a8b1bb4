import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { progressOn } from '../../src/commands/progress.ts';
import type { Call } from '../../src/commands/spec.ts';
import type { Work } from '../../src/workshop/place.ts';
import { fixture, machine } from '../support/command.ts';

interface Scene {
  readonly isTTY?: boolean;
  readonly asJson?: boolean;
  readonly isRaw?: boolean;
  /** Whether stdout is a terminal too. */
  readonly isOutTTY?: boolean;
  readonly work?: Work;
}

const scene = ({ isTTY = true, asJson = false, isRaw = false, isOutTTY = false, work = 'procedures' }: Scene = {}) => {
  const written: string[] = [];
  let now = 0;
  const host = {
    streams: {
      stdin: { isRaw },
      stdout: { isTTY: isOutTTY },
      stderr: { isTTY, write: (text: string) => written.push(text) },
    },
    clock: { monotonic: () => now },
  };
  const call = { host, flag: () => asJson } as unknown as Call;
  const progress = progressOn(call)(work);
  const at = (ms: number, done: number): void => {
    now = ms;
    progress(done, 5000);
  };
  return { at, written };
};

it('shows one line, rewritten in place, once a second has passed, and takes it away at the end', () => {
  const { at, written } = scene();
  at(0, 1);
  at(999, 1000);
  expect(written).toEqual([]);
  at(1000, 1240);
  at(1050, 1300);
  at(1100, 1360);
  at(4000, 5000);
  expect(written).toEqual([
    '\r\u001b[KReading procedures: 1,240 of 5,000',
    '\r\u001b[KReading procedures: 1,360 of 5,000',
    '\r\u001b[K',
  ]);
});

it('writes nothing where the work takes less than a second', () => {
  const { at, written } = scene();
  at(0, 1);
  at(900, 5000);
  expect(written).toEqual([]);
});

it('each work has a second of its own', () => {
  const { at, written } = scene();
  at(0, 1);
  at(900, 5000);
  at(1500, 1);
  at(2400, 2);
  expect(written).toEqual([]);
});

it('names a unit where the words do not say what is counted', () => {
  const { at, written } = scene({ work: 'journal' });
  at(0, 1);
  at(1000, 1240);
  expect(written).toEqual(['\r\u001b[KReading the journal: 1,240 of 5,000 kB']);
});

it.each<readonly [string, Scene]>([
  ['into a pipe', { isTTY: false }],
  ['with --json', { asJson: true }],
  ['while the bench has the terminal', { isRaw: true }],
  ['beside lines that the work prints itself on the terminal', { work: 'script', isOutTTY: true }],
])('writes nothing %s', (_, where) => {
  const { at, written } = scene(where);
  at(0, 1);
  at(5000, 2);
  expect(written).toEqual([]);
});

/** What a command shows of its long work, each line once, without the numbers. */
const shownBy = (err: string): readonly string[] => [
  ...new Set([...err.matchAll(/\r\u001b\[K([A-Z][^:\r]*): [\d,]+ of [\d,]+/g)].map(([, doing = '']) => doing)),
];

/** True where the line is cleared after each time it was shown, so that what is printed next begins at the start of a line. */
const isTakenAway = (err: string): boolean => !/[a-z]: [\d,]+ of [\d,]+(?: kB)?(?!\r\u001b\[K|[\d,]| kB)/.test(err);

it('is shown by every command that may take long, and is gone before anything else is printed', async () => {
  const own = machine();
  const slowly = { slowly: true };
  const script = fixture('scripts/keel-scarf.yaml');
  const state = ['--state', own.state];
  const rehearsed = await own.run(['rehearse', script, ...state], slowly);
  expect([rehearsed.code, shownBy(rehearsed.err)]).toEqual([0, expect.arrayContaining(['Rehearsing entries'])]);
  const [job = ''] = readdirSync(join(own.state, 'records'));
  for (const [argv, doing] of [
    [['status', '--plain'], ['Checking entries']],
    [['record', job], ['Checking entries']],
    [['record', job, '--format', 'html'], ['Checking entries']],
    [['verify'], ['Checking entries']],
  ] as const) {
    const ran = await own.run([...argv, ...state], slowly);
    expect([argv[0], ran.code, shownBy(ran.err)]).toEqual([argv[0], 0, doing]);
    expect(ran.err).toContain('\r\u001b[K');
    expect(isTakenAway(ran.err)).toBe(true);
    expect(ran.out).not.toContain('\u001b');
    const data = await own.run([...argv, ...state, '--json'], slowly);
    expect(data.err).not.toContain('\u001b');
  }
});

it('is taken away after a fault too', async () => {
  const own = machine();
  const state = ['--state', own.state];
  await own.run(['rehearse', fixture('scripts/keel-scarf.yaml'), ...state]);
  const [name = ''] = readdirSync(join(own.state, 'journal'));
  const path = join(own.state, 'journal', name);
  const lines = readFileSync(path, 'utf8').split('\n');
  const at = lines.length - 3;
  // a signature that is well formed and false: only the fold finds it
  lines[at] = (lines[at] ?? '').replace(/"sig":"(.)/, (_, first: string) => `"sig":"${first === 'A' ? 'B' : 'A'}`);
  writeFileSync(path, lines.slice(0, at + 1).join('\n') + '\n');
  const ran = await own.run(['verify', ...state], { slowly: true });
  expect(ran.code).toBe(1);
  expect(shownBy(ran.err)).toEqual(['Checking entries']);
  expect(isTakenAway(ran.err)).toBe(true);
});
