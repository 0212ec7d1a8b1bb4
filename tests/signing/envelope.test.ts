import { createDecipheriv, scryptSync } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  defaultCost,
  envelopeFingerprint,
  isEnvelope,
  lockKey,
  maxCost,
  unlockKey,
} from '../../src/signing/envelope.ts';
import { agentText, elsewhereText, readKeyText } from '../../src/signing/key-text.ts';
import { writeKeyFile } from '../../src/signing/openssh.ts';
import { newSecret } from '../../src/signing/secret.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom, run } from './openssh.ts';

const random = fixedRandom();
const secret = newSecret(random);
const cheap = { log2N: 4, r: 8, p: 1 };
const envelope = lockKey(secret, 'keel and strut', random, cheap);
const change = (fields: Record<string, unknown>): string =>
  JSON.stringify({ ...(JSON.parse(envelope) as Record<string, unknown>), ...fields });

describe('a key under a passphrase', () => {
  it('opens with it, at the cost that a real key has', () => {
    const real = lockKey(secret, 'keel and strut', random);
    expect(JSON.parse(real)).toMatchObject({ scrypt: { log2N: 17, r: 8, p: 1 }, cipher: 'aes-256-gcm' });
    expect(defaultCost.log2N).toBe(17);
    expect(Buffer.from(valueOf(unlockKey(real, 'keel and strut')).seed)).toEqual(Buffer.from(secret.seed));
    expect(codeOf(unlockKey(real, 'keel and struts'))).toBe('passphrase');
  });

  it('does not hold the seed, and says whose it is without being opened', () => {
    const seed = Buffer.from(secret.seed);
    for (const form of ['hex', 'base64', 'base64url'] as const) expect(envelope).not.toContain(seed.toString(form));
    expect(isEnvelope(envelope)).toBe(true);
    expect(valueOf(envelopeFingerprint(envelope))).toBe(secret.publicKey.fingerprint);
  });

  it('opens with that passphrase alone, whatever it is', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'grapheme' }), (right, other) => {
        fc.pre(right.normalize('NFC') !== other.normalize('NFC'));
        const text = lockKey(secret, right, random, cheap);
        expect(codeOf(unlockKey(text, right))).toBe('taken');
        expect(codeOf(unlockKey(text, other))).toBe('passphrase');
      }),
    );
  });

  it('opens with the same passphrase typed on another keyboard', () => {
    const text = lockKey(secret, 'M\u00fcller', random, cheap);
    expect(codeOf(unlockKey(text, 'Mu\u0308ller'))).toBe('taken');
  });

  it('is another text each time', () => {
    expect(lockKey(secret, 'x', random, cheap)).not.toBe(lockKey(secret, 'x', random, cheap));
  });

  it('is refused once any bit of it is changed', () => {
    const bytes = Buffer.from(envelope.trimEnd());
    for (let bit = 0; bit < bytes.length * 8; bit += 1) {
      const changed = Buffer.from(bytes);
      changed[bit >> 3] = (changed[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      expect(codeOf(unlockKey(changed.toString('latin1'), 'keel and strut')), changed.toString()).not.toBe('taken');
    }
  });

  it.each([
    ['memory beyond bounds', change({ scrypt: { log2N: 40, r: 8, p: 1 } })],
    ['r beyond bounds', change({ scrypt: { log2N: 4, r: 10_000, p: 1 } })],
    ['p beyond bounds', change({ scrypt: { log2N: 4, r: 8, p: 10_000 } })],
    ['a cost of text', change({ scrypt: { log2N: '4', r: 8, p: 1 } })],
    ['no cost', change({ scrypt: undefined })],
    ['another version', change({ v: 2 })],
    ['another cipher', change({ cipher: 'aes-256-cbc' })],
    ['a short nonce', change({ nonce: 'AAAA' })],
    ['not JSON', '{'],
    ['another JSON', '{"kind":"other"}'],
    ['a list', '[]'],
    ['too long', change({ extra: 'x'.repeat(10_000) })],
  ])('is refused unopened: %s', (_, text) => {
    expect(codeOf(unlockKey(text, 'keel and strut'))).toBe('key-file');
  });
});

describe('an outside look at it', () => {
  it('opens by the names that stand in it: the key that openssl makes with scrypt, then AES-256-GCM', () => {
    const made = lockKey(secret, 'keel and strut', random, { log2N: 14, r: 8, p: 1 });
    const { sealed, ...head } = JSON.parse(made) as Record<string, string>;
    const options = { pass: 'keel and strut', n: '16384', r: '8', p: '1' };
    const salt = Buffer.from(head['salt'] ?? '', 'base64').toString('hex');
    const kdf = Object.entries(options).flatMap(([name, value]) => ['-kdfopt', `${name}:${value}`]);
    const key = run(
      'openssl',
      ['kdf', '-keylen', '32', ...kdf, '-kdfopt', `hexsalt:${salt}`, '-binary', 'SCRYPT'],
      '',
      'latin1',
    );
    const bytes = Buffer.from(sealed ?? '', 'base64');
    const opener = createDecipheriv(
      'aes-256-gcm',
      Buffer.from(key.out, 'latin1'),
      Buffer.from(head['nonce'] ?? '', 'base64'),
    );
    opener.setAAD(Buffer.from(JSON.stringify(head)));
    opener.setAuthTag(bytes.subarray(32));
    expect(Buffer.concat([opener.update(bytes.subarray(0, 32)), opener.final()])).toEqual(Buffer.from(secret.seed));
  });

  it('finds scrypt as RFC 7914 section 12 publishes it', () => {
    const published = '7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2';
    const made = scryptSync('pleaseletmein', 'SodiumChloride', 32, { N: 16_384, r: 8, p: 1, maxmem: 2 ** 26 });
    expect(made.toString('hex')).toBe(published);
  });

  it('the most that a file may ask for is still done', () => {
    const dear = lockKey(secret, 'x', random, maxCost);
    expect(codeOf(unlockKey(dear, 'x'))).toBe('taken');
    const { scrypt } = JSON.parse(dear) as { readonly scrypt: Record<string, number> };
    for (const name of ['log2N', 'r', 'p'])
      expect(codeOf(unlockKey(change({ scrypt: { ...scrypt, [name]: (scrypt[name] ?? 0) + 1 } }), 'x'))).toBe(
        'key-file',
      );
  });
});

describe('a key file of any kind', () => {
  it('is told apart', () => {
    expect(valueOf(readKeyText(writeKeyFile(secret, ''))).kind).toBe('open');
    const locked = valueOf(readKeyText(envelope));
    expect(locked.kind === 'locked' && codeOf(locked.unlock('keel and strut'))).toBe('taken');
    expect(valueOf(readKeyText(`${secret.publicKey.text} a comment\n`)).kind).toBe('agent');
    expect(valueOf(readKeyText(agentText(secret.publicKey))).kind).toBe('agent');
    expect(valueOf(readKeyText(elsewhereText('/a path/with "quotes"')))).toEqual({
      kind: 'elsewhere',
      path: '/a path/with "quotes"',
    });
    expect(codeOf(readKeyText('{"kind":"dryfit-key-elsewhere"}'))).toBe('key-file');
    expect(codeOf(readKeyText('ssh-rsa AAAA'))).toBe('key-file');
    expect(codeOf(readKeyText('ssh-ed25519 AAAA'))).toBe('key-malformed');
    expect(codeOf(readKeyText(''))).toBe('key-file');
  });
});
