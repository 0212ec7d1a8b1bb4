import { secretFromSeed } from '../../../src/signing/secret.ts';
import { makeSigner, type Signer } from '../../../src/signing/signer.ts';
import { signerLine } from '../../../src/proof/signers.ts';
import { people } from './pages.ts';

/** A key of their own for everybody, made once: the same in every walk. */
const signers = new Map<string, Signer>(
  people.map(({ person }, index) => [person, makeSigner(secretFromSeed(new Uint8Array(32).fill(index + 1)))]),
);

export const signerOf = (person: string): Signer => {
  const signer = signers.get(person);
  if (signer === undefined) throw new RangeError(`${person} has no key`);
  return signer;
};

/** The public key as a `key` line brings it: `ssh-ed25519 AAAA…`. */
export const keyText = (person: string): string =>
  signerLine(person, signerOf(person).publicKey).trim().split(' ').slice(-2).join(' ');
