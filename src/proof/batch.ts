import { verify, type KeyObject } from 'node:crypto';
import { keyFromRaw, type PublicKey } from './keys.ts';
import { signedDigest } from './sshsig.ts';

/*
 * Verifies many signatures in several threads at once, in memory that the threads share. A thread takes the next portion whenever
 * it is free, so that a slow thread holds up no other. The result is only which signatures are good. The caller checks every
 * other one again, one at a time, so the outcome does not depend on the number of threads.
 */

/** How many signatures a thread takes at a time. */
const portion = 64;

/** The length of a SHA-512 digest and of an Ed25519 signature, in bytes. */
const width = 64;

/** The index of each count in `progress`. */
const [readyAt, takenAt, doneAt] = [0, 1, 2];

/** In `keyOf`, for a signature whose key is not known; it is not verified. */
const noKey = 0xffff;

/** Everything here can be passed to another thread. */
export interface SignatureBatch {
  readonly count: number;
  /** SHA-512 of each text that was signed. */
  readonly digests: Uint8Array;
  readonly signatures: Uint8Array;
  /** For each signature the index in `keys` of the key that made it. */
  readonly keyOf: Uint16Array;
  /** 1 for a signature that was verified. */
  readonly good: Uint8Array;
  /** 1 for a portion that is done. */
  readonly over: Uint8Array;
  /** How many portions are ready, taken and done. */
  readonly progress: Int32Array;
  /** The 32 bytes of each public key. */
  readonly keys: readonly Uint8Array[];
  /** What all the signatures were made for. */
  readonly namespace: string;
}

const shared = (bytes: number): SharedArrayBuffer => new SharedArrayBuffer(bytes);

export const newBatch = (count: number, namespace: string, keys: readonly PublicKey[]): SignatureBatch => ({
  count,
  digests: new Uint8Array(shared(count * width)),
  signatures: new Uint8Array(shared(count * width)),
  keyOf: new Uint16Array(shared(count * 2)).fill(noKey),
  good: new Uint8Array(shared(count)),
  over: new Uint8Array(shared(Math.ceil(count / portion))),
  progress: new Int32Array(shared(3 * 4)),
  keys: keys.slice(0, noKey).map(({ raw }) => raw),
  namespace,
});

/**
 * Adds one signature. Signatures are added in the order of their numbers.
 * @param number counts from 0.
 * @param key its index in `keys`; a signature whose key is not known is not verified.
 */
export const addSignature = (
  batch: SignatureBatch,
  number: number,
  digest: Uint8Array,
  signature: Uint8Array,
  key: number | undefined,
): void => {
  if (key !== undefined && key < batch.keys.length && signature.length === width) {
    batch.digests.set(digest, number * width);
    batch.signatures.set(signature, number * width);
    batch.keyOf[number] = key;
  }
  if ((number + 1) % portion === 0 || number + 1 === batch.count)
    announceReady(batch, Math.ceil((number + 1) / portion));
};

const portionsOf = ({ count }: SignatureBatch): number => Math.ceil(count / portion);

const announceReady = ({ progress }: SignatureBatch, portions: number): void => {
  Atomics.store(progress, readyAt, portions);
  Atomics.notify(progress, readyAt);
};

/** In ms: how long a thread waits for more signatures to be added, from the last one on. */
const patienceForMore = 10_000;

/** Waits until so many portions are ready. `false` once nothing was added for `patience` ms: whoever adds them may have stopped. */
const waitUntilReady = ({ progress }: SignatureBatch, portions: number, patience: number): boolean => {
  for (let ready = Atomics.load(progress, readyAt); ready < portions; ready = Atomics.load(progress, readyAt))
    if (Atomics.wait(progress, readyAt, ready, patience) === 'timed-out')
      return Atomics.load(progress, readyAt) >= portions;
  return true;
};

/**
 * Verifies the next portion that no thread has taken, and waits where it is still being added. `false` where none is left, and where nothing
 * more was added for `patience` ms. Every thread has one of these.
 */
export const portionVerifier = (batch: SignatureBatch, patience = patienceForMore): (() => boolean) => {
  const { digests, signatures, keyOf, good, over, progress } = batch;
  const keys = batch.keys.map((raw): KeyObject | undefined => {
    const key = keyFromRaw(raw);
    return key.ok ? key.value.object : undefined;
  });
  const signs = signedDigest(batch.namespace);
  const isGood = (number: number): boolean => {
    const key = keys[keyOf[number] ?? noKey];
    const [from, to] = [number * width, (number + 1) * width];
    return key !== undefined && verify(null, signs(digests.subarray(from, to)), key, signatures.subarray(from, to));
  };
  return () => {
    const taken = Atomics.load(progress, takenAt) < portionsOf(batch) ? Atomics.add(progress, takenAt, 1) : Infinity;
    if (taken >= portionsOf(batch)) return false;
    if (!waitUntilReady(batch, taken + 1, patience)) return false;
    const end = Math.min(batch.count, (taken + 1) * portion);
    for (let number = taken * portion; number < end; number += 1) good[number] = isGood(number) ? 1 : 0;
    Atomics.store(over, taken, 1);
    Atomics.add(progress, doneAt, 1);
    Atomics.notify(progress, doneAt);
    return true;
  };
};

/** Verifies portions until none is left, or until nothing more was added for `patience` ms. */
export const verifyShare = (batch: SignatureBatch, patience = patienceForMore): void => {
  const next = portionVerifier(batch, patience);
  for (let more = next(); more;) more = next();
};

/** True where the portion of a signature is done, so that `good` says whether it is good. */
export const isLookedAt = ({ over }: SignatureBatch, number: number): boolean =>
  Atomics.load(over, Math.floor(number / portion)) === 1;

/**
 * Waits until the portion of a signature is done. `false` once no portion at all has been finished for `patience` ms: a thread may have died
 * with what it had taken.
 */
export const waitFor = (batch: SignatureBatch, number: number, patience: number): boolean => {
  const { progress } = batch;
  for (;;) {
    const done = Atomics.load(progress, doneAt);
    if (isLookedAt(batch, number)) return true;
    if (Atomics.wait(progress, doneAt, done, patience) === 'timed-out') return isLookedAt(batch, number);
  }
};
