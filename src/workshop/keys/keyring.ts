import { endOf, keyInForce } from '../../aircraft/keys.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import type { Signer } from '../../signing/signer.ts';
import { readKeyFileAt, readKeyFileOf, type KeyFile } from '../../store/key-files.ts';
import { findKey, fingerprintOf, openKey } from './open-key.ts';
import { keyFolder } from './own-keys.ts';
import type { Workplace } from '../place.ts';
import type { SignerOf } from './signers.ts';
import { own } from '../../fault/own.ts';

/** The passphrases given for one act, by person, and the key file of `--key FILE`. */
export interface GivenSecrets {
  readonly passphrases?: Readonly<Record<string, string>>;
  readonly keyFile?: string;
}

const fileHere = (place: Workplace, state: BuildState, person: string): Outcome<KeyFile> => {
  const file = readKeyFileOf(place.disk, keyFolder(place, state.scripted), person);
  if (file.ok || file.fault.code !== 'file-missing') return file;
  return err(
    usage(
      'key-missing',
      `the key of ${person} is not on this machine`,
      `${person} signs here with --key FILE, or elsewhere (dryfit hold)`,
      person,
    ),
  );
};

/** The key in the file of `--key FILE`, if it is this person's. */
const fromFile = (
  place: Workplace,
  state: BuildState,
  person: string,
  given: GivenSecrets,
): Outcome<Signer> | undefined => {
  if (given.keyFile === undefined) return undefined;
  const file = readKeyFileAt(place.disk, given.keyFile);
  if (!file.ok) return err({ ...file.fault, kind: 'usage' });
  const key = findKey(place, file.value);
  if (!key.ok) return key;
  return keyInForce(state, person, fingerprintOf(key.value))
    ? openKey(place, key.value, person, own(given.passphrases ?? {}, person))
    : undefined;
};

/** Why the key on this machine does not sign in this build, or no longer does. Reported before a passphrase is asked for. */
const staleFault = (state: BuildState, person: string, fingerprint: string): Fault | undefined => {
  if (keyInForce(state, person, fingerprint) !== undefined) return undefined;
  const ended = endOf(state, person, fingerprint);
  const what = ended === undefined ? 'is none of this build' : `has ended with entry ${ended}`;
  return usage(
    'key-unknown',
    `the key of ${person} on this machine ${what}`,
    `${person} says where the one in force lies: dryfit key here --key FILE`,
    person,
  );
};

/** The key on this machine. */
const fromHere = (place: Workplace, state: BuildState, person: string, given: GivenSecrets): Outcome<Signer> => {
  const file = fileHere(place, state, person);
  if (!file.ok) return file;
  const key = findKey(place, file.value);
  if (!key.ok) return err({ where: person, ...key.fault });
  const stale = staleFault(state, person, fingerprintOf(key.value));
  return stale === undefined ? openKey(place, key.value, person, own(given.passphrases ?? {}, person)) : err(stale);
};

/** In ms: an open key is locked again when nobody has signed for this long. Common practice, no source. */
const mostIdle = 10 * 60_000;

/**
 * Finds keys for one session. The key of the person who is signed on stays open until nobody has signed for ten minutes; another
 * person's key is opened anew for each act.
 * Faults: `key-missing`, `passphrase-wanted`, `passphrase` (wrong), each with the person as `where`.
 */
export const keyring = (
  place: Workplace,
  state: () => BuildState,
  signedOn: () => string | undefined,
): ((given: GivenSecrets) => SignerOf) => {
  const open = new Map<string, Signer>();
  let used = place.monotonic();
  return (given) => (person) => {
    if (place.monotonic() - used > mostIdle) open.clear();
    used = place.monotonic();
    const kept = person === signedOn() ? open.get(person) : undefined;
    if (kept) return ok(kept);
    const signer = fromFile(place, state(), person, given) ?? fromHere(place, state(), person, given);
    if (signer.ok) open.set(person, signer.value);
    return signer;
  };
};
