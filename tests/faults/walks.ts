import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { refusalCodes } from '../../src/fault/codes.ts';
import type { Campaign } from './campaign.ts';
import { unmet, walkShare, type Share } from './walks/share.ts';
import { counted, merged, type Tallies } from './walks/tallies.ts';

/**
 * Codes that no walk of one machine meets: a folder that somebody else writes, a page that is not started at all, and a conflict between
 * machines, for which `tests/aircraft/machines.test.ts` walks three of them.
 */
const elsewhere: readonly string[] = ['read-only', 'procedure-faulty', 'contradiction'];

const reached = (tallies: Tallies): string =>
  [
    'holds passed',
    'completions',
    'gates passed',
    'twins',
    'permanent steps',
    'witness points passed',
    'cures worked out by hand',
    'holds released remotely',
    'finishes that next foresaw',
    'refused ahead',
    'free ahead',
    "builds of the project's own procedures",
  ]
    .map((name) => `${counted(tallies, name)} ${name}`)
    .join(', ');

/** Into how many parts long walks are divided: the same on every machine, so that they are the same walks. */
const parts = 8;
/** Walks for fewer completions than this are not worth a further thread. */
const worthThreads = 200;

/** A share of the walks is walked in this thread, where it was started for that. */
export const isWalker = !isMainThread && typeof workerData === 'object' && workerData !== null && 'walk' in workerData;
// oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread has no origin
export const walkHere = (): void => parentPort?.postMessage(walkShare((workerData as { readonly walk: Share }).walk));

/** In a thread of its own, which runs this same bundle. Most of what a walk makes is forgotten at once, so young memory is large. */
const walkApart = (share: Share): Promise<Tallies> =>
  new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), {
      workerData: { walk: share },
      resourceLimits: { maxYoungGenerationSizeMb: 96, maxOldGenerationSizeMb: 4096 },
    });
    worker.once('message', resolve);
    worker.once('error', reject);
  });

const walkAll = async (shares: readonly Share[]): Promise<Tallies> => {
  const waiting = [...shares];
  const told: Tallies[] = [];
  const takeNext = async (): Promise<void> => {
    for (let share = waiting.shift(); share !== undefined; share = waiting.shift()) told.push(await walkApart(share));
  };
  await Promise.all(Array.from({ length: availableParallelism() }, takeNext));
  return merged(told);
};

/** @param root the project's folder. */
export const walks =
  (root: string): Campaign =>
  async ({ every, many }) => {
    const completions = Math.max(1, Math.floor(many / every));
    const all = { procedures: join(root, 'procedures'), completions };
    const tallies =
      completions < worthThreads
        ? walkShare({ ...all, index: 0, of: 1 })
        : await walkAll(Array.from({ length: parts }, (_, index) => ({ ...all, index, of: parts })));
    const codes = [...tallies.refusals.keys()];
    const neverMet = refusalCodes.filter((code) => !codes.includes(code) && !elsewhere.includes(code));
    return {
      what: `random walks through ${counted(tallies, 'builds')} builds, ${counted(tallies, 'commands')} commands: ${reached(tallies)}, ${codes.length} codes of refusal`,
      law: 'the rules of section 6 hold, worked out by hand; every entry decides to itself again; what is free of refusals ahead is refused afterwards only for what was still to be answered; a fold from any snapshot is the same; every record verifies and says what the journal says',
      count: counted(tallies, 'entries'),
      broken: [
        ...tallies.broken,
        ...unmet(tallies, completions),
        ...(completions < 1000 ? [] : neverMet.map((code) => `no walk met the refusal ${code}`)),
      ],
    };
  };
