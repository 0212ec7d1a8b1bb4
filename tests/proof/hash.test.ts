import { createHash, hash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { hashesBy, isHash, sha256Hex, sha512 } from '../../src/proof/hash.ts';

/** FIPS 180-4 by its published examples: the message of 3 bytes, of 56 bytes, and the empty one. */
const examples = [
  {
    message: 'abc',
    sha256: 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    sha512:
      'ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f',
  },
  {
    message: 'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
    sha256: '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    sha512:
      '204a8fc6dda82f0a0ced7beb8e08a41657c16ef468b228a8279be331a703c33596fd15c13b1b07f9aa1d3bea57789ca031ad85c7a71dd70354ec631238ca3445',
  },
  {
    message: '',
    sha256: 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
    sha512:
      'cf83e1357eefb8bdf1542850d66d8007d620e4050b5715dc83f4a921d36ce9ce47d0d13c5d85f2b0ff8318d2877eec2f63b931bd47417a81a538327af927da3e',
  },
] as const;

describe('hashes', () => {
  it.each(examples)('of $message', ({ message, sha256, sha512: long }) => {
    expect(sha256Hex(message)).toBe(sha256);
    expect(sha256Hex(Buffer.from(message))).toBe(sha256);
    expect(Buffer.from(sha512(message)).toString('hex')).toBe(long);
    expect(isHash(sha256)).toBe(true);
  });

  it('of text are those of its UTF-8', () => {
    expect(sha256Hex('20 °C')).toBe(sha256Hex(Buffer.from('20 °C', 'utf8')));
  });

  it.each(['', 'a'.repeat(63), 'a'.repeat(65), `${'a'.repeat(63)}A`, `${'a'.repeat(63)}g`, `${'a'.repeat(64)}\n`])(
    '%j is not one',
    (text) => expect(isHash(text)).toBe(false),
  );
});

it.each([
  ['of a Node before 20.12, which has no crypto.hash', { createHash }],
  ['of a Node that has crypto.hash', { hash, createHash }],
])('hashes %s are the same', (_, crypto) => {
  const { hex, long } = hashesBy(crypto);
  for (const { message, sha256, sha512: expected } of examples) {
    expect(hex(message)).toBe(sha256);
    expect(Buffer.from(long(message)).toString('hex')).toBe(expected);
  }
});

it('of a Node that has crypto.hash never need the slower way', () => {
  const { hex, long } = hashesBy({
    hash,
    createHash: () => {
      throw new Error('the slower way');
    },
  });
  expect([hex(''), Buffer.from(long('')).toString('hex')]).toEqual([examples[2].sha256, examples[2].sha512]);
});
