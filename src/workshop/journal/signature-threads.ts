import { Worker } from 'node:worker_threads';
import { bringsKey } from '../../aircraft/keys.ts';
import {
  addSignature,
  isLookedAt,
  newBatch,
  portionVerifier,
  waitFor,
  type SignatureBatch,
} from '../../proof/batch.ts';
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
  /** In ms: how long to wait for the other threads without any progress, before this thread does what they had taken. */
  readonly patience?: number;
}

const leastLines = 2000;

/** With more threads an opening gets no faster: the rest of it decides how long it takes. */
const mostThreads = 16;

/** In ms. */
const usualPatience = 2000;

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

/** What several threads say about the signatures of lines, while they are still at it. */
export interface CheckedAhead {
  /**
   * True where all signatures of a line fit the keys that they name. Asked line by line, in their order. Where that is not known yet, this
   * thread helps to verify, or waits for the others. `false` is no verdict: the caller looks at the line again itself.
   */
  readonly isGood: (link: Link) => boolean;
  /** Ends the other threads. */
  readonly end: () => void;
}

/** The number of each line's first signature, and after the last line the number of all. */
const numbersOf = (links: readonly Link[]): Uint32Array => {
  const numbers = new Uint32Array(links.length + 1);
  for (const [index, { line }] of links.entries())
    numbers[index + 1] = (numbers[index] ?? 0) + 1 + (line.also?.length ?? 0);
  return numbers;
};

const askedInTurn = (
  batch: SignatureBatch,
  links: readonly Link[],
  numbers: Uint32Array,
  patience: number,
): CheckedAhead['isGood'] => {
  const next = portionVerifier(batch);
  let [turn, isPatient] = [0, true];
  const isKnown = (number: number): boolean => {
    while (!isLookedAt(batch, number)) if (!next()) break;
    if (isPatient) isPatient = waitFor(batch, number, patience);
    return isLookedAt(batch, number);
  };
  return (link) => {
    if (links[turn] !== link) return false;
    const [from, to] = [numbers[turn] ?? 0, numbers[turn + 1] ?? 0];
    turn += 1;
    for (let number = from; number < to; number += 1) if (!isKnown(number) || batch.good[number] !== 1) return false;
    return true;
  };
};

/**
 * Begins to verify the signatures of a long journal in several threads. Meanwhile the caller folds what is known already: a line is
 * believed only when the threads have said that its signatures fit the keys that they name. The fold checks whether those keys may sign, and
 * verifies all other lines itself, so its result does not depend on the threads. `undefined` where the journal is too short to be worth it.
 */
export const verifyAhead = (
  links: readonly Link[],
  read: PublicKeyReader,
  threads: Threads | undefined,
): CheckedAhead | undefined => {
  if (threads === undefined || threads.count < 2 || links.length < (threads.least ?? leastLines)) return undefined;
  const keys = keysIn(links, read);
  const indexes = new Map([...keys.keys()].map((fingerprint, index) => [fingerprint, index]));
  const numbers = numbersOf(links);
  const batch = newBatch(numbers.at(-1) ?? 0, namespaces.entry, [...keys.values()]);
  const workers = start(batch, threads);
  addSignatures(batch, links, indexes);
  const end = (): void => {
    for (const worker of workers) void worker.terminate();
  };
  return { isGood: askedInTurn(batch, links, numbers, threads.patience ?? usualPatience), end };
};
