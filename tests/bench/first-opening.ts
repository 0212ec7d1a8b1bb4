import { execFile } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { buildsIn } from './long-build.ts';
import { compared, type Places, type Result } from './measures.ts';
import { inTurns, median } from './statistics.ts';

/** What a fixture prints: the time from when its program is loaded, all its processor time (ms), and the most memory (MiB). */
interface Said {
  readonly taken: number;
  readonly cpu: number;
  readonly peak?: number;
}

const run = async (args: readonly string[], home: string): Promise<Said> => {
  const env = { ...process.env, HOME: home, XDG_CONFIG_HOME: home, XDG_CACHE_HOME: home };
  const { stdout } = await promisify(execFile)(process.execPath, args, { env });
  return JSON.parse(stdout) as Said;
};

/**
 * A build of 2,000 jobs read with nothing kept of it, against what nobody can do without who believes nothing: the same signatures verified by
 * node:crypto over bytes that lie ready, and JSON.parse and SHA-256 over the same lines. Each is a process of its own, on all cores.
 */
const againstBare = async (
  { fixtures, home }: Places,
  work: 'open' | 'verify',
  what: string,
  limit: number,
): Promise<Result> => {
  buildsIn(fixtures);
  const state = join(fixtures, 'long');
  const own = join(home, 'first');
  mkdirSync(own, { recursive: true });
  const said = { ours: [] as Said[], bare: [] as Said[] };
  const time = (side: 'ours' | 'bare', args: readonly string[]) => async (): Promise<number> => {
    const one = await run(args, home);
    said[side].push(one);
    return one.taken;
  };
  const script = join(fixtures, 'signature-worker.js');
  const pairs = await inTurns(
    2,
    time('ours', [join(fixtures, 'first.js'), work, state, own, script]),
    time('bare', [join(fixtures, 'bare-journal.js'), state]),
  );
  const result = compared(`${what}, ${availableParallelism()} cores`, 'verify + parse + SHA-256', limit, pairs);
  const middle = (values: readonly number[]): number => median(values.slice(1));
  const cpu = middle(said.ours.map((one) => one.cpu)) / middle(said.bare.map((one) => one.cpu));
  const peak = Math.max(...said.ours.map((one) => one.peak ?? 0));
  return { ...result, found: `${result.found.slice(0, -1)}; processor ${cpu.toFixed(2)}; ${peak.toFixed(0)} MiB)` };
};

/** Opening 200,000 entries for the first time. */
export const firstOpening = (places: Places): Promise<Result> =>
  againstBare(places, 'open', 'first opening, 200,000', 1.25);

/** `verify` of the same state. */
export const verifyLong = (places: Places): Promise<Result> => againstBare(places, 'verify', 'verify, 200,000', 1.4);
