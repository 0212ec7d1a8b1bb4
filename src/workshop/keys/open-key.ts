import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import { agentSigner } from '../../signing/agent.ts';
import { readKeyText, type KeyText } from '../../signing/key-text.ts';
import { makeSigner, type Signer } from '../../signing/signer.ts';
import { readKeyFileAt } from '../../store/key-files.ts';
import type { Workplace } from '../place.ts';

/** A key file, read as far as it goes without its passphrase. */
export type FoundKey = Exclude<KeyText, { kind: 'elsewhere' }>;

/** The text of a key file, and where it names another file, that one. Codes `file-…`, `key-file`, `key-file-locked`. */
export const findKey = (place: Workplace, text: string): Outcome<FoundKey> => {
  const read = readKeyText(text);
  if (!read.ok) return read;
  if (read.value.kind !== 'elsewhere') return ok(read.value);
  const { path } = read.value;
  const there = readKeyFileAt(place.disk, path);
  if (!there.ok) return there.fault.code === 'file-missing' ? gone(path) : there;
  const found = readKeyText(there.value);
  if (!found.ok) return err({ ...found.fault, where: path });
  return found.value.kind === 'elsewhere'
    ? err(usage('key-file', 'it names another file in its turn', 'say it again: dryfit key here --key FILE', path))
    : ok(found.value);
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

/**
 * A key ready to sign. Faults have the person as `where`: `passphrase-wanted`, `passphrase`, `key-file`. One in the agent is asked for
 * only when it signs.
 */
export const openKey = (
  place: Workplace,
  key: FoundKey,
  person: string,
  passphrase: string | undefined,
): Outcome<Signer> => {
  if (key.kind === 'open') return ok(makeSigner(key.secret));
  if (key.kind === 'agent') return ok(agentSigner(key.publicKey, place.variables ?? {}));
  if (passphrase === undefined || passphrase === '')
    return err(usage('passphrase-wanted', `the key of ${person} is locked`, `${person} types the passphrase`, person));
  const secret = key.unlock(passphrase);
  return secret.ok ? ok(makeSigner(secret.value)) : err({ ...secret.fault, where: person });
};
