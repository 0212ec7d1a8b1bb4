import { Worker } from 'node:worker_threads';
import { bringsKey } from '../../aircraft/keys.ts';
import { layInto, newBatch, takeShare, waitForShares, type SignatureBatch } from '../../proof/batch.ts';
import type { Link } from '../../proof/chain.ts';
import { sha512 } from '../../proof/hash.ts';
import type { PublicKey } from '../../proof/keys.ts';
import { claimsOf } from '../../proof/line.ts';
import { namespaces } from '../../proof/sshsig.ts';
import type { PublicKeyReader } from './public-keys.ts';

/** Where more threads come from. */
export interface Threads {
  /** The file of `signature-worker.ts`, built. */
  readonly script: string;
  /** Together with this one. */
  readonly count: number;
  /** Fewer lines than these are left to this thread: starting another takes longer than it spares. */
  readonly least?: number;
}

const leastLines = 2000;

/** Beyond it the rest of an opening decides how long it takes. */
const mostThreads = 16;

/** Milliseconds without any progress before what the other threads had taken is looked at here. */
const patience = 2000;

/** Every key that the lines introduce, whoever may sign with it: that is decided at each line's place. */
const keysIn = (links: readonly Link[], read: PublicKeyReader): ReadonlyMap<string, PublicKey> => {
  const keys = new Map<string, PublicKey>();
  for (const { line } of links) {
    const text = bringsKey(line.type) ? line.data['key'] : undefined;
    const key = typeof text === 'string' ? read(text) : undefined;
    if (key?.ok === true) keys.set(key.value.fingerprint, key.value);
  }
  return keys;
};

/** A thread that cannot start, or ends, is none: its share is done by the others. */
const start = (batch: SignatureBatch, { script, count }: Threads): readonly Worker[] => {
  const workers: Worker[] = [];
  try {
    while (workers.length < Math.min(count, mostThreads) - 1) {
      const worker = new Worker(script, { workerData: batch, execArgv: [] });
      worker.on('error', () => undefined);
      worker.unref();
      workers.push(worker);
    }
  } catch {
    // as many as there are
  }
  return workers;
};

const layAll = (batch: SignatureBatch, links: readonly Link[], numbers: ReadonlyMap<string, number>): void => {
  let number = 0;
  for (const { line } of links)
    for (const { key, sig, text } of claimsOf(line)) {
      layInto(batch, number, sha512(text), Buffer.from(sig, 'base64'), numbers.get(key));
      number += 1;
    }
};

/** The lines of which every signature was found good. */
const goodLines = ({ good }: SignatureBatch, links: readonly Link[]): ReadonlySet<Link> => {
  const lines = new Set<Link>();
  let number = 0;
  for (const link of links) {
    const next = number + 1 + (link.line.also?.length ?? 0);
    if (good.subarray(number, next).every((one) => one === 1)) lines.add(link);
    number = next;
  }
  return lines;
};

/**
 * Looks at the signatures of a long journal ahead of its fold, on several threads; the lines whose signatures are all good by
 * the keys that they name. Whether those keys may sign there is asked by the fold, which also looks again at every line that is
 * not among these: what it says, and of which line, does not depend on the threads. `undefined` where it is not worth it.
 */
export const goodAhead = (
  links: readonly Link[],
  read: PublicKeyReader,
  threads: Threads | undefined,
): ReadonlySet<Link> | undefined => {
  if (threads === undefined || threads.count < 2 || links.length < (threads.least ?? leastLines)) return undefined;
  const keys = keysIn(links, read);
  const numbers = new Map([...keys.keys()].map((fingerprint, number) => [fingerprint, number]));
  const count = links.reduce((sum, { line }) => sum + 1 + (line.also?.length ?? 0), 0);
  const batch = newBatch(count, namespaces.entry, [...keys.values()]);
  const workers = start(batch, threads);
  layAll(batch, links, numbers);
  takeShare(batch);
  waitForShares(batch, patience);
  for (const worker of workers) void worker.terminate();
  return goodLines(batch, links);
};
