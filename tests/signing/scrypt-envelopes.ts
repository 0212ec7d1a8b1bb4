import { createCipheriv, scryptSync } from 'node:crypto';
import { canonicalJson } from '../../src/proof/canonical.ts';
import type { Random, SecretKey } from '../../src/signing/secret.ts';

/* The format that dryfit used to write, made here for the tests: src only reads it. */

interface Cost {
  /** N = 2^`log2N` */
  readonly log2N: number;
  readonly r: number;
  readonly p: number;
}

/** Little work, for tests that open many. */
export const cheap: Cost = { log2N: 4, r: 8, p: 1 };

export const scryptEnvelope = (secret: SecretKey, passphrase: string, random: Random, cost: Cost = cheap): string => {
  const { log2N, r, p } = cost;
  const [salt, nonce] = [random(16), random(12)];
  const head = {
    cipher: 'aes-256-gcm',
    key: secret.publicKey.fingerprint,
    kind: 'dryfit-key',
    nonce: Buffer.from(nonce).toString('base64'),
    salt: Buffer.from(salt).toString('base64'),
    scrypt: { log2N, p, r },
    v: 1,
  };
  const options = { N: 2 ** log2N, r, p, maxmem: 256 * 2 ** log2N * r };
  const lock = createCipheriv('aes-256-gcm', scryptSync(passphrase.normalize('NFC'), salt, 32, options), nonce);
  lock.setAAD(Buffer.from(canonicalJson(head)));
  const sealed = Buffer.concat([lock.update(secret.seed), lock.final(), lock.getAuthTag()]);
  return `${canonicalJson({ ...head, sealed: sealed.toString('base64') })}\n`;
};

/** Written by the last program that wrote this format: the seed 1, 2, … 32, the passphrase "keel and strut", at the cost of a real key. */
export const recordedEnvelope =
  '{"cipher":"aes-256-gcm","key":"SHA256:eVkCKHnc5RjanBduU2vmOecbFl3M9wOgHdk24INJytY","kind":"dryfit-key","nonce":"DClGY4Cdutf0ES5L",' +
  '"salt":"EC1KZ4Shvtv4FTJPbImmww==","scrypt":{"log2N":17,"p":1,"r":8},' +
  '"sealed":"JufoXh6ndP/rW8lcvYA6RAr+rfhsBzBFoBNeE0yjfxc0pBBICrLPByMAKiZ5Z+tx","v":1}\n';
export const recordedSeed = Uint8Array.from({ length: 32 }, (_, index) => index + 1);
