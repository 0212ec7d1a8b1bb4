import { execFile } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { Outcome } from '../../src/fault/fault.ts';
import { decide } from '../../src/quantity/decision.ts';
import { fixLimits, parseLimits } from '../../src/quantity/limits.ts';
import { parseQuantity } from '../../src/quantity/quantity.ts';
import { unitNamed } from '../../src/quantity/units.ts';
import { randomTexts } from '../quantity/random-texts.ts';
import { checkAgainstParse, checkOfTwice } from './checking.ts';
import { mark } from './fixtures/frame.tsx';
import { buildsIn } from './long-build.ts';
import { inTerminal, wholeRun } from './programs.ts';
import { inTurns, median, quantile, ratioOf, type Pair } from './statistics.ts';

/** One line of the table. */
export interface Result {
  readonly what: string;
  readonly against: string;
  readonly found: string;
  readonly aim: string;
  readonly reached: boolean;
}

/** The files and folders that the measures use. */
export interface Places {
  /** The built program. */
  readonly program: string;
  /** The folder of the built fixtures. */
  readonly fixtures: string;
  /** An empty home folder, so that nobody's settings are read. */
  readonly home: string;
  /** A procedure file that jobs follow. */
  readonly procedure: string;
  /** The demo's bond of the keel, with a cure. */
  readonly keel: string;
  /** The state that is opened. */
  readonly state: string;
}

export const compared = (what: string, against: string, limit: number, pairs: readonly Pair[]): Result => {
  const { middle, low, high } = ratioOf(pairs);
  const times = `${median(pairs.map(({ ours }) => ours)).toFixed(1)} : ${median(pairs.map(({ bare }) => bare)).toFixed(1)} ms`;
  const found = `${middle.toFixed(2)}  (${low.toFixed(2)} to ${high.toFixed(2)}; ${times}; n ${pairs.length})`;
  return { what, against, found, aim: `at most ${limit}`, reached: middle <= limit };
};

/** A command from its start to its end. */
export const command = async ({ program, home, state }: Places): Promise<Result> => {
  const ours = (): Promise<number> => wholeRun([program, 'status', '--json', '--state', state], home);
  const bare = (): Promise<number> => wholeRun(['-e', '0'], home);
  return compared('dryfit status --json', 'node -e 0', 1.4, await inTurns(25, ours, bare));
};

/** From the start of a process until a build of years is open, against a build of two jobs. Each was opened before. */
export const opening = async (places: Places): Promise<Result> => {
  const { fixtures, home } = places;
  buildsIn(fixtures);
  for (const name of ['long', 'short'])
    await wholeRun([join(fixtures, 'open.js'), join(fixtures, name), join(home, name)], home);
  const time = (name: string) => () =>
    wholeRun([join(fixtures, 'open.js'), join(fixtures, name), join(home, name)], home);
  const pairs = await inTurns(25, time('long'), time('short'));
  return compared('opening, 200,000 entries', 'opening, 150 entries', 1.2, pairs);
};

/** `status` of a build of 2,000 jobs, against one of two. Each was opened before; the last printed status is not reused. */
export const longStatus = async (places: Places): Promise<Result> => {
  const { program, fixtures, home } = places;
  buildsIn(fixtures);
  const time = (name: string) => (): Promise<number> => {
    rmSync(join(home, 'dryfit', 'status'), { recursive: true, force: true });
    return wholeRun([program, 'status', '--json', '--state', join(fixtures, name)], home);
  };
  await time('long')();
  const pairs = await inTurns(15, time('long'), time('short'));
  return compared('status anew, 2,000 jobs', 'status anew, 2 jobs', 1.2, pairs);
};

/** From the start of the bench to its first complete frame. */
export const firstFrame = async ({ program, home, state }: Places): Promise<Result> => {
  const time = async (args: readonly string[], text: string, end?: string): Promise<number> => {
    const begun = performance.now();
    const running = inTerminal(args, home);
    await running.until(text, end);
    const taken = performance.now() - begun;
    await running.stop();
    return taken;
  };
  const ours = (): Promise<number> => time([program, '--state', state], '\u001b[2J', '\u001b[?2026l');
  const bare = (): Promise<number> => time(['-e', 'console.log(1)'], '1');
  return compared('bench to first frame', "node -e 'console.log(1)'", 1.8, await inTurns(25, ours, bare));
};

/** Loading and checking a folder of 10,000 steps. */
export const checking = async (): Promise<Result> =>
  compared('check of 10,000 steps', "yaml's parse of the bytes", 2.5, await checkAgainstParse(10_000));

/** How the time grows when the steps double. */
export const checkingTwice = async (): Promise<Result> =>
  compared('check of twice the steps', 'check of 10,000 steps', 2.2, await checkOfTwice(10_000));

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** From a key until the frame that shows it is whole: our terminal and build against the drawing library as it comes. */
export const keyToPaint = async ({ fixtures, home }: Places, columns: number, rows: number): Promise<Result> => {
  const warm = 20;
  const ours = inTerminal([join(fixtures, 'ours.js')], home, columns, rows);
  const stock = inTerminal([join(fixtures, 'stock.mjs')], home, columns, rows);
  await Promise.all([ours.until(mark(0)), stock.until(mark(0))]);
  const pairs: Pair[] = [];
  for (let count = 1; count <= warm + 120; count++) {
    const press = async (running: typeof ours): Promise<number> => {
      await pause(50); // longer than any frame, so that each key finds a quiet program
      return running.until(mark(count), '\u001b[?2026l', () => running.send('j'));
    };
    const pair = { ours: await press(ours), bare: await press(stock) };
    if (count > warm) pairs.push(pair);
  }
  await Promise.all([ours.stop(), stock.stop()]);
  const result = compared(`key to paint, ${columns} x ${rows}`, 'the same frame, stock', 0.8, pairs);
  const worst = (side: 'ours' | 'bare'): string =>
    quantile(
      pairs.map((pair) => pair[side]),
      0.95,
    ).toFixed(1);
  return { ...result, found: `${result.found.slice(0, -1)}; p95 ${worst('ours')} : ${worst('bare')} ms)` };
};

/** The memory that stays in use over many frames, each of them new. Garbage is collected before each sample. */
export const memory = async ({ fixtures }: Places): Promise<Result> => {
  const [frames, every, limit] = [20_000, 250, 50];
  const args = ['--expose-gc', join(fixtures, 'frames.js'), String(frames), String(every)];
  const { stdout } = await promisify(execFile)(process.execPath, args, { env: { ...process.env, FORCE_COLOR: '3' } });
  const samples = JSON.parse(stdout) as number[];
  // The memory of recent frames fills up and is dropped, over and over. So the peaks of the second and the last quarter are compared.
  const top = (from: number, to: number): number =>
    Math.max(...samples.slice(samples.length * from, samples.length * to));
  const slope = (top(0.75, 1) - top(0.25, 0.5)) / (frames / 2);
  const [middle, last] = [top(0.25, 0.5), top(0.75, 1)].map((bytes) => (bytes / 2 ** 20).toFixed(1));
  const found = `${slope.toFixed(0)} bytes a frame  (${middle} MiB, then ${last} MiB)`;
  return { what: `memory, ${frames} frames`, against: 'none', found, aim: `at most ${limit}`, reached: slope <= limit };
};

const million = 1_000_000;

/** Readings as a person types them: one to four decimals about 12.5, some of them outside. */
const readings = (unit: string): readonly string[] =>
  Array.from(
    { length: million },
    (_, index) => `${(12 + ((index * 7919) % 10_000) / 10_000).toFixed(1 + (index % 4))}${unit}`,
  );

/** A million plain decimals read and decided against `12.5 ± 0.1 mm`; `unit` is what stands after each number. */
export const deciding = async (unit: string): Promise<Result> => {
  const mm = unitNamed('mm');
  const limits = fixLimits(valueOf(parseLimits('12.5 ± 0.1 mm', { unit: mm })), () => undefined);
  if (limits === undefined) throw new Error('the limits have no value');
  const [texts, plain] = [readings(unit), readings('')];
  const timed = (count: () => number): Promise<number> => {
    const begun = performance.now();
    if (count() === 0) throw new Error('nothing was within'); // the work must not be optimised away
    return Promise.resolve(performance.now() - begun);
  };
  const ours = (): number => {
    let within = 0;
    for (const text of texts) {
      const read = parseQuantity(text, { unit: mm });
      if (read.ok && decide(read.value, limits) === 'within') within += 1;
    }
    return within;
  };
  const bare = (): number => {
    let within = 0;
    for (const text of plain) {
      const value = Number(text);
      if (value >= 12.4 && value <= 12.6) within += 1;
    }
    return within;
  };
  const pairs = await inTurns(
    9,
    () => timed(ours),
    () => timed(bare),
  );
  return compared(`10⁶ values, as 12.5${unit}`, 'Number() and compare', 5, pairs);
};

/** The longest time that one of a million random texts takes. A slow one is tried again, in case something else held the process up. */
export const worstText = (): Promise<Result> => {
  const once = (text: string): number => {
    const begun = performance.now();
    const read = parseQuantity(text);
    const taken = performance.now() - begun;
    if (read.ok && !Number.isFinite(read.value.amount.valueOf())) throw new Error(`not finite: ${text}`);
    return taken;
  };
  let [worst, late] = [0, 0];
  for (const text of randomTexts(million, 2026)) {
    const first = once(text);
    if (first > 1) late += 1;
    const taken = first > worst ? Math.min(first, once(text), once(text), once(text)) : first;
    worst = Math.max(worst, taken);
  }
  const found = `${worst.toFixed(3)} ms  (${late} over 1 ms at first and not again, where the process was held up)`;
  return Promise.resolve({
    what: '10⁶ random texts, worst',
    against: 'none',
    found,
    aim: 'at most 1 ms',
    reached: worst <= 1,
  });
};

const valueOf = <T>(read: Outcome<T>): T => {
  if (!read.ok) throw new Error(read.fault.what);
  return read.value;
};
