import { sign } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import {
  addSignature,
  isLookedAt,
  newBatch,
  verifyShare,
  waitFor,
  type SignatureBatch,
} from '../../src/proof/batch.ts';
import { sha512 } from '../../src/proof/hash.ts';
import { signedData, signedDigest } from '../../src/proof/sshsig.ts';
import { first, second } from './lines.ts';

const purpose = 'dryfit-entry';
const keys = [first.key, second.key];
const textOf = (number: number): string => `line ${number}`;
const signature = (number: number, pair = first, namespace = purpose): Buffer =>
  sign(null, signedData(namespace, textOf(number)), pair.secret);

type Change = Partial<{ signature: Uint8Array; digest: Uint8Array; key: number | undefined }>;

/** A batch of good signatures, but for those that are changed. */
const batchOf = (count: number, changes: Readonly<Record<number, Change>> = {}): SignatureBatch => {
  const batch = newBatch(count, purpose, keys);
  for (let number = 0; number < count; number += 1) {
    const change = changes[number] ?? {};
    const key = 'key' in change ? change.key : 0;
    addSignature(batch, number, change.digest ?? sha512(textOf(number)), change.signature ?? signature(number), key);
  }
  return batch;
};

const goodOf = (batch: SignatureBatch): readonly number[] => {
  verifyShare(batch);
  return [...batch.good];
};

describe('a batch of signatures', () => {
  it.each([0, 1, 63, 64, 65, 128, 129])('of %d good ones: all are found good, in every portion', (count) => {
    const batch = batchOf(count);
    expect(goodOf(batch)).toEqual(Array.from({ length: count }, () => 1));
    const portions = Math.ceil(count / 64);
    expect([...batch.progress]).toEqual([portions, portions, portions]);
    // comes back at once: everything is done
    for (let number = 0; number < count; number += 1) expect(waitFor(batch, number, 60_000)).toBe(true);
  });

  it('finds good only what its own key signed for its own purpose', () => {
    const wrong = Uint8Array.from(signature(2));
    wrong[0] = (wrong[0] ?? 0) ^ 1;
    const changes: Readonly<Record<number, Change>> = {
      1: { signature: signature(1, second), key: 1 }, // good: the other key
      2: { signature: wrong },
      3: { digest: sha512('another text') },
      4: { key: 1 },
      5: { signature: signature(5, first, 'dryfit-hold') },
      6: { key: undefined },
      7: { key: 2 }, // there is no third key
      8: { signature: signature(8).subarray(1) },
      9: { signature: Buffer.concat([signature(9), Buffer.from([0])]) },
    };
    const expected = Array.from({ length: 70 }, (_, number) => (number > 1 && number < 10 ? 0 : 1));
    expect(goodOf(batchOf(70, changes))).toEqual(expected);
  });

  it('has no good one by a key of small order', () => {
    const weak = { ...first.key, raw: new Uint8Array(32) };
    const batch = newBatch(1, purpose, [weak]);
    addSignature(batch, 0, sha512(textOf(0)), signature(0), 0);
    expect(goodOf(batch)).toEqual([0]);
  });

  it('is announced portion by portion, so that verifying begins before all are added', () => {
    const batch = newBatch(130, purpose, keys);
    const ready: number[] = [];
    for (let number = 0; number < 130; number += 1) {
      addSignature(batch, number, sha512(textOf(number)), signature(number), 0);
      ready.push(batch.progress[0] ?? -1);
    }
    expect([ready[62], ready[63], ready[64], ready[127], ready[128], ready[129]]).toEqual([0, 1, 1, 2, 2, 3]);
  });

  it('that nobody verifies is given up after the patience of its owner, with none good', () => {
    const batch = batchOf(3);
    expect(waitFor(batch, 2, 1)).toBe(false);
    expect([isLookedAt(batch, 2), ...batch.good]).toEqual([false, 0, 0, 0]);
  });

  it('that nobody goes on adding to is given up by the thread that waits for more; what was added is verified', () => {
    const batch = newBatch(70, purpose, keys);
    for (let number = 0; number < 66; number += 1)
      addSignature(batch, number, sha512(textOf(number)), signature(number), 0);
    verifyShare(batch, 1); // comes back
    expect([...batch.good].indexOf(0)).toBe(64);
    expect([isLookedAt(batch, 63), isLookedAt(batch, 64)]).toEqual([true, false]);
    expect(waitFor(batch, 64, 1)).toBe(false);
  });

  it('signs the digest of a text as the text itself is signed', () => {
    const signs = signedDigest(purpose);
    for (const text of ['', 'a', textOf(7)])
      expect(Buffer.from(signs(sha512(text))).toString('hex')).toBe(signedData(purpose, text).toString('hex'));
  });
});
