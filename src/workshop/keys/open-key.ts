import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import { agentSigner } from '../../signing/agent.ts';
import { readKeyText, type KeyText } from '../../signing/key-text.ts';
import { writeKeyFile } from '../../signing/openssh.ts';
import type { LockedKey, SecretKey } from '../../signing/secret.ts';
import { makeSigner, type Signer } from '../../signing/signer.ts';
import { readKeyFileAt, rewriteKeyFile, type KeyFile } from '../../store/key-files.ts';
import type { Workplace } from '../place.ts';

/** A key file, read as far as it goes without its passphrase. */
export type FoundKey = Exclude<KeyText, { kind: 'elsewhere' }> & {
  /** The file that holds it; for a key in the ssh-agent, its public half. */
  readonly file: KeyFile;
};

/** Reads a key file, or the one that it names. Codes `file-…`, `key-file`, `key-file-locked`, `key-missing`. */
export const findKey = (place: Workplace, file: KeyFile): Outcome<FoundKey> => {
  const read = readKeyText(file.text);
  if (!read.ok) return read;
  if (read.value.kind !== 'elsewhere') return ok({ ...read.value, file });
  const { path } = read.value;
  const there = readKeyFileAt(place.disk, path);
  if (!there.ok) return there.fault.code === 'file-missing' ? gone(path) : there;
  const found = readKeyText(there.value.text);
  if (!found.ok) return err({ ...found.fault, where: path });
  return found.value.kind === 'elsewhere'
    ? err(usage('key-file', 'it names another file in its turn', 'say it again: dryfit key here --key FILE', path))
    : ok({ ...found.value, file: there.value });
};

const gone = (path: string): Outcome<never> =>
  err(
    usage(
      'key-missing',
      `the key is to lie in ${path}, and is not there`,
      'bring it back, or say where it is: dryfit key here --key FILE',
    ),
  );

export const fingerprintOf = (key: FoundKey): string => {
  if (key.kind === 'locked') return key.fingerprint;
  return key.kind === 'agent' ? key.publicKey.fingerprint : key.secret.publicKey.fingerprint;
};

/** The text of a key file for a person; an empty or absent passphrase leaves it open. */
export const keyFileText = (
  { random }: Workplace,
  secret: SecretKey,
  person: string,
  passphrase: string | undefined,
): string =>
  passphrase === undefined || passphrase === ''
    ? writeKeyFile(secret, person)
    : writeKeyFile(secret, person, { passphrase, random });

/**
 * Opens a locked key. A file in the older format is rewritten in OpenSSH's. Where that fails, on a disk that can only be read for example, the
 * key serves all the same, and the next opening tries again. Faults have the person as `where`: `passphrase-wanted`, `passphrase`, `key-file`.
 */
export const unlockKey = (
  place: Workplace,
  key: LockedKey & { readonly file: KeyFile },
  person: string,
  passphrase: string | undefined,
): Outcome<SecretKey> => {
  if (passphrase === undefined || passphrase === '')
    return err(usage('passphrase-wanted', `the key of ${person} is locked`, `${person} types the passphrase`, person));
  const secret = key.unlock(passphrase);
  if (!secret.ok) return err({ ...secret.fault, where: person });
  if (key.format === 'scrypt')
    rewriteKeyFile(place.disk, key.file, keyFileText(place, secret.value, person, passphrase));
  return secret;
};

/** A key ready to sign. Faults as `unlockKey`. A key in the ssh-agent is asked for only when it signs. */
export const openKey = (
  place: Workplace,
  key: FoundKey,
  person: string,
  passphrase: string | undefined,
): Outcome<Signer> => {
  if (key.kind === 'open') return ok(makeSigner(key.secret));
  if (key.kind === 'agent') return ok(agentSigner(key.publicKey, place.variables ?? {}));
  const secret = unlockKey(place, key, person, passphrase);
  return secret.ok ? ok(makeSigner(secret.value)) : secret;
};
