import { describe, expect, it } from 'vitest';
import { checkAlso, checkLine, coSigned, readLine, signed, type UnsignedLine } from '../../src/proof/line.ts';
import { writeSigners } from '../../src/proof/signers.ts';
import { armored } from '../../src/proof/sshsig.ts';
import { newSecret } from '../../src/signing/secret.ts';
import { makeSigner, signLine } from '../../src/signing/signer.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom, sshKeygen, withFolder } from './openssh.ts';

const random = fixedRandom(7);
const first = makeSigner(newSecret(random));
const second = makeSigner(newSecret(random));
const draft: Omit<UnsignedLine, 'key'> = {
  v: 1,
  build: '',
  writer: 'abcdefg2',
  seq: 1,
  prev: '',
  seen: {},
  at: '2026-03-02T09:00:00+01:00',
  by: 'first',
  job: '',
  type: 'key',
  data: { n: 1, text: '12.5 ± 0.1 mm' },
};

describe('a signed line', () => {
  it('verifies with the key of its signer', () => {
    const { line, text } = valueOf(signLine(draft, first));
    expect(line.key).toBe(first.fingerprint);
    expect(line).not.toHaveProperty('also');
    expect(valueOf(readLine(text))).toEqual(line);
    expect(codeOf(checkLine(line, first.publicKey))).toBe('taken');
    expect(codeOf(checkLine(line, second.publicKey))).toBe('signature-false');
  });

  it('has the signature of the second person where one must sign', () => {
    const { line } = valueOf(signLine(draft, first, [{ by: 'second', signer: second }]));
    const [also] = line.also ?? [];
    expect(also?.by).toBe('second');
    expect(also !== undefined && codeOf(checkAlso(line, also, second.publicKey))).toBe('taken');
    expect(codeOf(checkLine(line, first.publicKey))).toBe('taken');
  });

  it.each([
    [{ by: 'First' }],
    [{ job: 'a"b' }],
    [{ type: 'x"' }],
    [{ at: 'yesterday' }],
    [{ data: { n: 0.5 } }],
    [{ data: { n: Number.NaN } }],
    [{ data: { text: '\ud800' } }],
    [{ seq: 2 }],
  ])('is not made where it could not be read back: %j', (change) => {
    expect(codeOf(signLine({ ...draft, ...change }, first))).toBe('line-malformed');
  });

  it('verifies with ssh-keygen, its 64 bytes put into their armour', () => {
    const { line } = valueOf(signLine(draft, first, [{ by: 'second', signer: second }]));
    const [also] = line.also ?? [];
    withFolder((_, write) => {
      const people = [
        { person: 'first', key: first.publicKey },
        { person: 'second', key: second.publicKey },
      ];
      const signers = write('allowed_signers', writeSigners(people));
      const verify = (person: string, sig64: string, key: typeof first, message: string) => {
        const sig = write(`${person}.sig`, armored(Buffer.from(sig64, 'base64'), key.publicKey, 'dryfit-entry'));
        return sshKeygen(['-Y', 'verify', '-f', signers, '-I', person, '-n', 'dryfit-entry', '-s', sig], message);
      };
      expect(verify('first', line.sig, first, signed(line)).status).toBe(0);
      expect(verify('second', also?.sig ?? '', second, coSigned(line)).status).toBe(0);
      expect(verify('second', also?.sig ?? '', second, signed(line)).status).not.toBe(0);
    });
  });
});
