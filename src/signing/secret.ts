import { createPrivateKey, createPublicKey, type KeyObject } from 'node:crypto';
import { err, FaultError, usage, type Outcome } from '../fault/fault.ts';
import { keyFromRaw, type PublicKey } from '../proof/keys.ts';

/** A person's private key. Nobody else may have it: it is never printed, logged or written into a state. */
export interface SecretKey {
  /** The 32 bytes of RFC 8032 from which the key pair is derived. */
  readonly seed: Uint8Array;
  readonly publicKey: PublicKey;
  /** The same key, ready for node:crypto. */
  readonly object: KeyObject;
}

/** A private key under a passphrase. Whose it is can be read without the passphrase. */
export interface LockedKey {
  readonly kind: 'locked';
  /** `scrypt` is the format that dryfit used to write; such a file is rewritten once it opens. */
  readonly format: 'openssh' | 'scrypt';
  readonly fingerprint: string;
  /** Codes `passphrase` (it is wrong, or the file was changed: nothing tells these apart), `key-file`. */
  unlock(passphrase: string): Outcome<SecretKey>;
}

export interface OpenKey {
  readonly kind: 'open';
  readonly secret: SecretKey;
}

export const wrongPassphrase = err(
  usage('passphrase', 'the passphrase does not open this key', 'Type it again; capitals count'),
);

/**
 * The passphrase with each letter and its accent as one code point (Unicode NFC). One keyboard gives "ü" as one code point, another as
 * two; dryfit locks with the composed form, and tries it where what was typed does not open the key.
 */
export const composedPassphrase = (passphrase: string): string => passphrase.normalize('NFC');

/** Gives `length` bytes that nobody can guess. It is handed down from where the program begins. */
export type Random = (length: number) => Uint8Array;

// RFC 8410: the fixed head of a PKCS #8 private key of type Ed25519, before the seed
const pkcs8Head = Buffer.from('302e020100300506032b657004220420', 'hex');

const must = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new FaultError(outcome.fault);
  return outcome.value;
};

/** The key pair of a seed. A seed that is not 32 bytes long is a bug, and throws. */
export const secretFromSeed = (seed: Uint8Array): SecretKey => {
  const object = createPrivateKey({ key: Buffer.concat([pkcs8Head, seed]), format: 'der', type: 'pkcs8' });
  const { x = '' } = createPublicKey(object).export({ format: 'jwk' });
  return {
    seed: Uint8Array.from(seed),
    publicKey: must(keyFromRaw(Buffer.from(x, 'base64url'))),
    object,
  };
};

/** A new key pair. */
export const newSecret = (random: Random): SecretKey => secretFromSeed(random(32));
