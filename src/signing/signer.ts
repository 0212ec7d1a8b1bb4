import { sign } from 'node:crypto';
import { bad, good, wrong, type Outcome } from '../fault/fault.ts';
import { flawOf } from '../proof/canonical.ts';
import {
  coSigned,
  lineHash,
  lineText,
  readLine,
  signed,
  type CoSignature,
  type JournalLine,
  type UnsignedLine,
} from '../proof/line.ts';
import type { PublicKey } from '../proof/keys.ts';
import { armored, namespaces, signedData } from '../proof/sshsig.ts';
import type { SecretKey } from './secret.ts';

/** Signs for a person. Whether the key behind it lies in a file or elsewhere does not show. */
export interface Signer {
  readonly fingerprint: string;
  readonly publicKey: PublicKey;
  /** The 64 bytes of an OpenSSH signature made with sha512. */
  signRaw(namespace: string, message: Uint8Array | string): Uint8Array;
  /** The same as a `.sig` file, as `ssh-keygen -Y sign` writes it. */
  signArmored(namespace: string, message: Uint8Array | string): string;
}

export const makeSigner = (secret: SecretKey): Signer => {
  const { publicKey } = secret;
  const signRaw = (namespace: string, message: Uint8Array | string): Uint8Array =>
    sign(null, signedData(namespace, message), secret.object);
  return {
    fingerprint: publicKey.fingerprint,
    publicKey,
    signRaw,
    signArmored: (namespace, message) => armored(signRaw(namespace, message), publicKey, namespace),
  };
};

/** A line as it goes to the journal. */
export interface SealedLine {
  readonly line: JournalLine;
  /** Its text, without the line feed. */
  readonly text: string;
  readonly hash: string;
}

const signEntry = (signer: Signer, text: string): string =>
  Buffer.from(signer.signRaw(namespaces.entry, text)).toString('base64');

/**
 * Signs a line: first whoever else must, each over the line alone, then the person whose line it is, over that and the
 * co-signatures. The line is read again before it is given out, so that nothing is signed that could not be read back:
 * code `line-malformed`.
 */
export const signLine = (
  draft: Omit<UnsignedLine, 'key'>,
  signer: Signer,
  others: readonly { readonly by: string; readonly signer: Signer }[] = [],
): Outcome<SealedLine> => {
  const flaw = flawOf(draft.data, 'whole'); // before it is written, where NaN and the like would turn into something else
  if (flaw !== undefined) return bad(wrong('line-malformed', `data holds ${flaw}`, 'Write quantities as text'));
  const line: UnsignedLine = { ...draft, key: signer.fingerprint };
  const bytes = coSigned(line);
  const also: readonly CoSignature[] = others.map((other) => ({
    by: other.by,
    key: other.signer.fingerprint,
    sig: signEntry(other.signer, bytes),
  }));
  const complete = also.length === 0 ? line : { ...line, also };
  const text = lineText({ ...complete, sig: signEntry(signer, signed(complete)) });
  const read = readLine(text);
  return read.ok ? good({ line: read.value, text, hash: lineHash(text) }) : read;
};
