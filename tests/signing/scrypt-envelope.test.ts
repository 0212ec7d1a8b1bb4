import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isScryptEnvelope, readScryptEnvelope } from '../../src/signing/scrypt-envelope.ts';
import { newSecret } from '../../src/signing/secret.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom } from './openssh.ts';
import { recordedEnvelope, recordedSeed, scryptEnvelope } from './scrypt-envelopes.ts';

/* The older format of a key under a passphrase, which is read and no longer written. */

const random = fixedRandom();
const secret = newSecret(random);
const envelope = scryptEnvelope(secret, 'keel and strut', random);
const change = (fields: Record<string, unknown>): string =>
  JSON.stringify({ ...(JSON.parse(envelope) as Record<string, unknown>), ...fields });
const unlock = (text: string, passphrase: string) => {
  const key = readScryptEnvelope(text);
  return key.ok ? key.value.unlock(passphrase) : key;
};

describe('an older key file under a passphrase', () => {
  it('written by the last program that wrote this format opens with its passphrase', () => {
    expect(Buffer.from(valueOf(unlock(recordedEnvelope, 'keel and strut')).seed)).toEqual(Buffer.from(recordedSeed));
    expect(codeOf(unlock(recordedEnvelope, 'keel and struts'))).toBe('passphrase');
  });

  it('shows whose key it is without being opened', () => {
    expect(isScryptEnvelope(envelope)).toBe(true);
    expect(valueOf(readScryptEnvelope(envelope))).toMatchObject({
      format: 'scrypt',
      fingerprint: secret.publicKey.fingerprint,
    });
  });

  it('opens with its own passphrase and no other', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'grapheme' }), (right, other) => {
        fc.pre(right.normalize('NFC') !== other.normalize('NFC'));
        const text = scryptEnvelope(secret, right, random);
        expect(codeOf(unlock(text, right))).toBe('taken');
        expect(codeOf(unlock(text, other))).toBe('passphrase');
      }),
    );
  });

  it('opens with the same passphrase typed on another keyboard', () => {
    const text = scryptEnvelope(secret, 'M\u00fcller', random);
    expect(codeOf(unlock(text, 'Mu\u0308ller'))).toBe('taken');
  });

  it('is refused once any bit of it is changed', () => {
    const bytes = Buffer.from(envelope.trimEnd());
    for (let bit = 0; bit < bytes.length * 8; bit += 1) {
      const changed = Buffer.from(bytes);
      changed[bit >> 3] = (changed[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      expect(codeOf(unlock(changed.toString('latin1'), 'keel and strut')), changed.toString()).not.toBe('taken');
    }
  });

  it.each([
    ['memory beyond bounds', change({ scrypt: { log2N: 40, r: 8, p: 1 } })],
    ['r beyond bounds', change({ scrypt: { log2N: 4, r: 10_000, p: 1 } })],
    ['p beyond bounds', change({ scrypt: { log2N: 4, r: 8, p: 10_000 } })],
    ['a cost that is text', change({ scrypt: { log2N: '4', r: 8, p: 1 } })],
    ['no cost', change({ scrypt: undefined })],
    ['another version', change({ v: 2 })],
    ['another cipher', change({ cipher: 'aes-256-cbc' })],
    ['a short nonce', change({ nonce: 'AAAA' })],
    ['not JSON', '{'],
    ['other JSON', '{"kind":"other"}'],
    ['a list', '[]'],
    ['too long', change({ extra: 'x'.repeat(10_000) })],
  ])('is refused unopened: %s', (_, text) => {
    expect(codeOf(unlock(text, 'keel and strut'))).toBe('key-file');
  });

  it('opens at the highest cost that a file may ask for, and is refused above it', () => {
    const dear = scryptEnvelope(secret, 'x', random, { log2N: 18, r: 8, p: 2 });
    expect(codeOf(unlock(dear, 'x'))).toBe('taken');
    const { scrypt } = JSON.parse(dear) as { readonly scrypt: Record<string, number> };
    for (const name of ['log2N', 'r', 'p'])
      expect(codeOf(unlock(change({ scrypt: { ...scrypt, [name]: (scrypt[name] ?? 0) + 1 } }), 'x'))).toBe('key-file');
  });
});
