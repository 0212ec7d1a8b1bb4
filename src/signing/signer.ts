import { sign } from 'node:crypto';
import { err, ok, wrong, type Outcome } from '../fault/fault.ts';
import { flawOf } from '../proof/canonical.ts';
import {
  coSigned,
  lineText,
  sealLine,
  signed,
  type CoSignature,
  type SealedLine,
  type UnsignedLine,
} from '../proof/line.ts';
import type { PublicKey } from '../proof/keys.ts';
import { armored, namespaces, signedData } from '../proof/sshsig.ts';
import type { SecretKey } from './secret.ts';

type Sign<T> = (namespace: string, message: Uint8Array | string) => Outcome<T>;

/** Signs for a person, with a key from a file or one in an ssh-agent, which may refuse to sign. */
export interface Signer {
  readonly fingerprint: string;
  readonly publicKey: PublicKey;
  /** The 64 bytes of an OpenSSH signature made with sha512. Codes `agent-…`. */
  readonly signRaw: Sign<Uint8Array>;
  /** The signature as a `.sig` file, as `ssh-keygen -Y sign` writes it. Codes `agent-…`. */
  readonly signArmored: Sign<string>;
}

export const signerWith = (publicKey: PublicKey, signRaw: Sign<Uint8Array>): Signer => ({
  fingerprint: publicKey.fingerprint,
  publicKey,
  signRaw,
  signArmored: (namespace, message) => {
    const raw = signRaw(namespace, message);
    return raw.ok ? ok(armored(raw.value, publicKey, namespace)) : raw;
  },
});

export const makeSigner = ({ publicKey, object }: SecretKey): Signer =>
  signerWith(publicKey, (namespace, message) => ok(sign(null, signedData(namespace, message), object)));

const signEntry = (signer: Signer, text: string): Outcome<string> => {
  const raw = signer.signRaw(namespaces.entry, text);
  return raw.ok ? ok(Buffer.from(raw.value).toString('base64')) : raw;
};

export interface CoSigner {
  readonly by: string;
  readonly signer: Signer;
}

const coSign = (text: string, others: readonly CoSigner[]): Outcome<readonly CoSignature[]> => {
  const also: CoSignature[] = [];
  for (const { by, signer } of others) {
    const sig = signEntry(signer, text);
    if (!sig.ok) return sig;
    also.push({ by, key: signer.fingerprint, sig: sig.value });
  }
  return ok(also);
};

/**
 * Signs a line. The co-signers come first, each over the line alone; then the person whose line it is signs the line and the
 * co-signatures. The finished line is read back before it is returned, so that no line is signed that cannot be read.
 * Codes: `line-malformed`; `agent-…` where a key in an agent does not sign.
 */
export const signLine = (
  draft: Omit<UnsignedLine, 'key'>,
  signer: Signer,
  others: readonly CoSigner[] = [],
): Outcome<SealedLine> => {
  const flaw = flawOf(draft.data, 'whole'); // checked before it is written, because JSON.stringify turns NaN and the like into something else
  if (flaw !== undefined) return err(wrong('line-malformed', `data holds ${flaw}`, 'Write quantities as text'));
  const line: UnsignedLine = { ...draft, key: signer.fingerprint };
  const also = others.length === 0 ? ok([]) : coSign(coSigned(line), others);
  if (!also.ok) return also;
  const complete = also.value.length === 0 ? line : { ...line, also: also.value };
  const sig = signEntry(signer, signed(complete));
  return sig.ok ? sealLine(lineText({ ...complete, sig: sig.value })) : sig;
};
