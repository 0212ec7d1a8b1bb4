import { verify, type KeyObject } from 'node:crypto';
import { keyFromRaw, type PublicKey } from './keys.ts';
import { signedDigest } from './sshsig.ts';

/*
 * Many signatures, looked at by several threads at once: all that they need lies in memory that they share. A thread takes a
 * portion whenever it has none, so that a slow one holds nobody up. What comes of it is only which signatures are good; whoever
 * asks looks at every other one again, in its place. So nothing depends on how many threads there were.
 */

/** Signatures that a thread takes at a time. */
const portion = 64;

/** Bytes, of a SHA-512 and of an Ed25519 signature alike. */
const width = 64;

/** Where in `progress` each count stands. */
const [readyAt, takenAt, doneAt] = [0, 1, 2];

/** Of a signature whose key is not known: nobody looks at it. */
const noKey = 0xffff;

/** All of it can be handed to another thread. */
export interface SignatureBatch {
  readonly count: number;
  /** SHA-512 of each text that was signed. */
  readonly digests: Uint8Array;
  readonly signatures: Uint8Array;
  /** Which of `keys` made it. */
  readonly keyOf: Uint16Array;
  /** 1 for a signature that was found good. */
  readonly good: Uint8Array;
  /** Portions that lie ready, that were taken, that are done. */
  readonly progress: Int32Array;
  /** The 32 bytes of each. */
  readonly keys: readonly Uint8Array[];
  /** What each signature is for. */
  readonly namespace: string;
}

const shared = (bytes: number): SharedArrayBuffer => new SharedArrayBuffer(bytes);

export const newBatch = (count: number, namespace: string, keys: readonly PublicKey[]): SignatureBatch => ({
  count,
  digests: new Uint8Array(shared(count * width)),
  signatures: new Uint8Array(shared(count * width)),
  keyOf: new Uint16Array(shared(count * 2)).fill(noKey),
  good: new Uint8Array(shared(count)),
  progress: new Int32Array(shared(3 * 4)),
  keys: keys.slice(0, noKey).map(({ raw }) => raw),
  namespace,
});

/** Lays one signature into its place, in the order of their numbers. @param key its number among the keys; one that is not known is left alone. */
export const layInto = (
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
  if ((number + 1) % portion === 0 || number + 1 === batch.count) tellReady(batch, Math.ceil((number + 1) / portion));
};

const portionsOf = ({ count }: SignatureBatch): number => Math.ceil(count / portion);

const tellReady = ({ progress }: SignatureBatch, portions: number): void => {
  Atomics.store(progress, readyAt, portions);
  Atomics.notify(progress, readyAt);
};

/** Looks at signatures until none is left to take; waits for those that are still being laid in. Every thread does this. */
export const takeShare = (batch: SignatureBatch): void => {
  const { digests, signatures, keyOf, good, progress } = batch;
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
  for (;;) {
    const taken = Atomics.add(progress, takenAt, 1);
    if (taken >= portionsOf(batch)) return;
    for (let ready = 0; ready <= taken; ready = Atomics.load(progress, readyAt)) Atomics.wait(progress, readyAt, ready);
    const end = Math.min(batch.count, (taken + 1) * portion);
    for (let number = taken * portion; number < end; number += 1) good[number] = isGood(number) ? 1 : 0;
    Atomics.add(progress, doneAt, 1);
    Atomics.notify(progress, doneAt);
  }
};

/** Waits until every portion is done, or none was for so many ms: a thread may have ended, and what it had taken is then not good. */
export const waitForShares = (batch: SignatureBatch, patience: number): void => {
  const { progress } = batch;
  for (let done = Atomics.load(progress, doneAt); done < portionsOf(batch); done = Atomics.load(progress, doneAt))
    if (Atomics.wait(progress, doneAt, done, patience) === 'timed-out') return;
};
