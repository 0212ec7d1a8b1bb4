import { Worker } from 'node:worker_threads';
import { bringsKey } from '../../aircraft/keys.ts';
import { addSignature, newBatch, verifyShare, waitForShares, type SignatureBatch } from '../../proof/batch.ts';
import type { Link } from '../../proof/chain.ts';
import { sha512 } from '../../proof/hash.ts';
import type { PublicKey } from '../../proof/keys.ts';
import { claimsOf } from '../../proof/line.ts';
import { namespaces } from '../../proof/sshsig.ts';
import type { PublicKeyReader } from './public-keys.ts';

/** Where more threads come from. */
export interface Threads {
  /** The path of the built `signature-worker.ts`. */
  readonly script: string;
  /** How many threads there may be, this one included. */
  readonly count: number;
  /** With fewer lines than this no other thread is started, because starting one takes longer than it saves. */
  readonly least?: number;
}

const leastLines = 2000;

/** With more threads an opening gets no faster: the rest of it decides how long it takes. */
const mostThreads = 16;

/** In ms: how long to wait without any progress before this thread verifies what the others had taken. */
const patience = 2000;

/** Every key that the lines introduce. Whether a key may sign is decided later, at the place of each line. */
const keysIn = (links: readonly Link[], read: PublicKeyReader): ReadonlyMap<string, PublicKey> => {
  const keys = new Map<string, PublicKey>();
  for (const { line } of links) {
    const text = bringsKey(line.type) ? line.data['key'] : undefined;
    const key = typeof text === 'string' ? read(text) : undefined;
    if (key?.ok === true) keys.set(key.value.fingerprint, key.value);
  }
  return keys;
};

/** Where a thread cannot start or dies, the others do its share. */
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
    // the threads that did start are enough
  }
  return workers;
};

const addSignatures = (batch: SignatureBatch, links: readonly Link[], numbers: ReadonlyMap<string, number>): void => {
  let number = 0;
  for (const { line } of links)
    for (const { key, sig, text } of claimsOf(line)) {
      addSignature(batch, number, sha512(text), Buffer.from(sig, 'base64'), numbers.get(key));
      number += 1;
    }
};

/** The lines all of whose signatures are good. */
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
 * Verifies the signatures of a long journal in several threads before it is folded, and gives the lines all of whose signatures
 * fit the keys that they name. The fold checks whether those keys may sign, and verifies all other lines itself, so its result
 * does not depend on the threads. `undefined` where the journal is too short to be worth it.
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
  addSignatures(batch, links, numbers);
  verifyShare(batch);
  waitForShares(batch, patience);
  for (const worker of workers) void worker.terminate();
  return goodLines(batch, links);
};
