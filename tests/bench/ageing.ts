import { cpSync, existsSync, readFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { join } from 'node:path';
import { buildsIn } from './long-build.ts';
import { compared, type Places, type Result } from './measures.ts';
import { inTerminal, wholeRun, type Running } from './programs.ts';
import { inTurns, type Pair } from './statistics.ts';

/*
 * What a session costs in a build of years (2,000 jobs, 200,000 entries) against the same in a build of two jobs. Every state was opened
 * before, so the cache is as the last session left it. The inspector enters what is entered: a builder would first write the 2,000 records
 * that the builds are made without.
 */

type Name = 'long' | 'short';
const names: readonly Name[] = ['long', 'short'];

interface Written {
  readonly state: string;
  readonly key: string;
  readonly job: string;
}

const ready = new Map<string, Readonly<Record<Name, Written>>>();

/** The two builds to write in, each with one entry made already. */
const writtenIn = async ({ program, fixtures, home }: Places): Promise<Readonly<Record<Name, Written>>> => {
  const known = ready.get(fixtures);
  if (known !== undefined) return known;
  const builds = buildsIn(fixtures);
  const [long, short] = names.map((name) => {
    const state = join(fixtures, `${name}-written`);
    if (!existsSync(state)) cpSync(join(fixtures, name), state, { recursive: true });
    return { state, key: builds[name].inspectorKey, job: builds[name].job };
  }) as [Written, Written];
  for (const one of [long, short]) await wholeRun(entryIn(program, one), home);
  ready.set(fixtures, { long, short });
  return { long, short };
};

const entryIn = (program: string, { state, key, job }: Written): readonly string[] => [
  program,
  'do',
  job,
  'remark',
  'text=looked at it',
  '--as',
  'tobias',
  '--key',
  key,
  '--state',
  state,
];

/** One entry, from the start of the process to its end. */
export const entryInLong = async (places: Places): Promise<Result> => {
  const builds = await writtenIn(places);
  const time = (name: Name) => (): Promise<number> => wholeRun(entryIn(places.program, builds[name]), places.home);
  const pairs = await inTurns(25, time('long'), time('short'));
  return compared('an entry, 2,000 jobs', 'an entry, 2 jobs', 1.2, pairs);
};

/** `status --json` as it is asked for again, when nothing was entered since. */
export const statusAgain = async (places: Places): Promise<Result> => {
  const { program, home } = places;
  const builds = await writtenIn(places);
  const time = (name: Name) => (): Promise<number> =>
    wholeRun([program, 'status', '--json', '--state', builds[name].state], home);
  for (const name of names) await time(name)();
  return compared(
    'status again, 2,000 jobs',
    'status again, 2 jobs',
    1.2,
    await inTurns(25, time('long'), time('short')),
  );
};

/** `status --json` right after an entry: nearly all jobs are as they were. Only the status is timed. */
export const statusAfterEntry = async (places: Places): Promise<Result> => {
  const { program, home } = places;
  const builds = await writtenIn(places);
  const time = (name: Name) => async (): Promise<number> => {
    await wholeRun(entryIn(program, builds[name]), home);
    return wholeRun([program, 'status', '--json', '--state', builds[name].state], home);
  };
  return compared('status after an entry', 'the same, 2 jobs', 1.2, await inTurns(15, time('long'), time('short')));
};

const frame = '\u001b[?2026l';

/** The bench open at the list of jobs, and quiet. */
const benchIn = async ({ program, home }: Places, { state, key }: Written, job?: string): Promise<Running> => {
  const words = job === undefined ? [] : [job];
  const running = inTerminal([program, ...words, '--as', 'tobias', '--key', key, '--state', state], home);
  await running.until('\u001b[2J', frame);
  await pause(300);
  return running;
};

/** Presses the same keys in both benches in turns. The first few only warm up. */
const inBoth = async (
  count: number,
  press: (running: Running, round: number) => Promise<number>,
  long: Running,
  short: Running,
): Promise<readonly Pair[]> => {
  const pairs: Pair[] = [];
  for (let round = 0; round < count + 5; round += 1) {
    const pair = { ours: await press(long, round), bare: await press(short, round) };
    if (round >= 5) pairs.push(pair);
  }
  await Promise.all([long.stop(), short.stop()]);
  return pairs;
};

/** From a key that moves the mark in the list of jobs to the frame that shows it. */
export const keyInLong = async (places: Places): Promise<Result> => {
  const builds = await writtenIn(places);
  const [long, short] = [await benchIn(places, builds.long), await benchIn(places, builds.short)];
  const press = async (running: Running, round: number): Promise<number> => {
    await pause(60);
    return running.until(frame, '', () => running.send(round % 2 === 0 ? '\u001b[B' : '\u001b[A'));
  };
  return compared('key to frame, 2,000 jobs', 'key to frame, 2 jobs', 1.15, await inBoth(80, press, long, short));
};

/** From the enter that commits a remark to the frame with its answer: the entry is on the disk before that. */
export const enterInLong = async (places: Places): Promise<Result> => {
  const builds = await writtenIn(places);
  const open = (one: Written): Promise<Running> => benchIn(places, one, one.job);
  const [long, short] = [await open(builds.long), await open(builds.short)];
  const press = async (running: Running): Promise<number> => {
    // the menu of the job, its first item, and the text; two commits within 0.4 s would be one
    for (const keys of [' ', '\r', 'looked at it']) {
      await running.until(frame, '', () => running.send(keys));
      await pause(500);
    }
    return running.until(frame, '', () => running.send('\r'));
  };
  const pairs = await inBoth(25, press, long, short);
  return compared('enter to answer, 2,000 jobs', 'enter to answer, 2 jobs', 1.15, pairs);
};

/** What a process has in memory, in bytes, as Linux counts it. */
const residentOf = (pid: number): number => {
  const [, kib] = /VmRSS:\s*(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8')) ?? [];
  return Number(kib) * 1024;
};

/** The bench of the long build, from 2,000 keys on to 20,000: what it holds then, and how much more than at the start. */
export const benchMemory = async (places: Places): Promise<Result> => {
  const { long } = await writtenIn(places);
  const running = await benchIn(places, long);
  const press = async (keys: number): Promise<number> => {
    for (let count = 0; count < keys; count += 20) {
      // twenty keys at a time, each of which moves the mark
      await running.until(frame, '', () => running.send('\u001b[B\u001b[B\u001b[A\u001b[B'.repeat(5)));
    }
    await pause(500);
    return residentOf(running.pid) / 2 ** 20;
  };
  const [start, end] = [await press(2000), await press(18_000)];
  await running.stop();
  const found = `${start.toFixed(0)} MiB, then ${end.toFixed(0)} MiB`;
  const reached = end < 200 && end <= start * 1.1;
  return { what: 'bench, 20,000 keys', against: 'after 2,000 keys', found, aim: 'flat, < 200', reached };
};
