import { bad, good, usage, type Outcome } from '../fault/fault.ts';
import { envelopeFingerprint, isEnvelope, unlockKey } from './envelope.ts';
import { isKeyFile, readKeyFile } from './openssh.ts';
import type { SecretKey } from './secret.ts';

/** What a key file turns out to be: a key at once, or one that waits for its passphrase. */
export type KeyText =
  | { readonly kind: 'open'; readonly secret: SecretKey }
  | {
      readonly kind: 'locked';
      readonly fingerprint: string;
      /** Codes `passphrase`, `key-file`. */
      unlock(passphrase: string): Outcome<SecretKey>;
    };

/**
 * Reads the text of a key file: a person's own OpenSSH key, one that dryfit made, or one that it put under a passphrase.
 * Codes `key-file`, `key-file-locked`.
 */
export const readKeyText = (text: string): Outcome<KeyText> => {
  if (isEnvelope(text)) {
    const fingerprint = envelopeFingerprint(text);
    if (!fingerprint.ok) return fingerprint;
    const unlock = (passphrase: string): Outcome<SecretKey> => unlockKey(text, passphrase);
    return good({ kind: 'locked', fingerprint: fingerprint.value, unlock });
  }
  if (!isKeyFile(text))
    return bad(usage('key-file', 'not a private key file', 'Give the private key, not the .pub file beside it'));
  const secret = readKeyFile(text);
  return secret.ok ? good({ kind: 'open', secret: secret.value }) : secret;
};
