import { dirname, isAbsolute, join, relative } from 'node:path';
import { keyInForce } from '../../aircraft/keys.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import { agentText, elsewhereText, readKeyText } from '../../signing/key-text.ts';
import { newSecret, type SecretKey } from '../../signing/secret.ts';
import { makeSigner, type Signer } from '../../signing/signer.ts';
import {
  ownKeysFolder,
  peopleWithKeys,
  readKeyFileOf,
  scriptedKeys,
  writeKeyFileAt,
  writeKeyFileOf,
} from '../../store/key-files.ts';
import { findKey, fingerprintOf, keyFileText, openKey, unlockKey, type FoundKey } from './open-key.ts';
import type { Workplace } from '../place.ts';
import type { Workshop } from '../workshop.ts';

/** Whose key it is, and its passphrase; empty or absent: none. */
export interface Owner {
  readonly person: string;
  readonly passphrase?: string;
}

/** A key of a person's own, which stays where it is: in their file, or in their ssh-agent. */
export interface BroughtKey {
  readonly signer: Signer;
  readonly key: FoundKey;
}

/** A key that can sign. `keep` stores its private half, once it is certain that the line naming the key will be believed. */
export interface ReadyKey {
  readonly signer: Signer;
  readonly keep: () => Outcome<void>;
}

/** A key that is stored already. */
export const atHand = (signer: Signer): ReadyKey => ({ signer, keep: () => ok(undefined) });

/**
 * The folder of the keys of this build's people on this machine: in the person's own configuration folder, or in the state for a
 * rehearsal.
 */
export const keyFolder = (place: Workplace, scripted: boolean): string =>
  scripted ? scriptedKeys(place.state) : ownKeysFolder(place.config);

/**
 * Keeps the text of a person's key where nobody else may read it. A different key there may still be needed by another build, and
 * moves to `before/`.
 */
const keepText = (place: Workplace, folder: string, person: string, text: string): Outcome<void> => {
  const before = readKeyFileOf(place.disk, folder, person);
  const kept =
    before.ok && before.value.text !== text
      ? writeKeyFileOf(place.disk, join(folder, 'before'), person, before.value.text)
      : ok(undefined);
  return kept.ok ? writeKeyFileOf(place.disk, folder, person, text) : kept;
};

/** A new key on this machine. */
export const newKey = (place: Workplace, folder: string, { person, passphrase }: Owner): ReadyKey => {
  const secret = newSecret(place.random);
  const keep = (): Outcome<void> => keepText(place, folder, person, keyFileText(place, secret, person, passphrase));
  return { signer: makeSigner(secret), keep };
};

/** True for a path in the state folder or below it, whichever links lead there. */
const isInside = ({ disk, state }: Workplace, path: string): boolean => {
  const real = (one: string): string => (disk.look(one) === undefined ? one : disk.real(one));
  const way = relative(real(state), real(dirname(path)));
  return way === '' || !(way.startsWith('..') || isAbsolute(way));
};

/** A new key in a file that the person chose. The file must not exist yet, and must not be in the state folder, which is handed on. */
export const newKeyAt = (place: Workplace, path: string, { person, passphrase }: Owner): Outcome<ReadyKey> => {
  if (isInside(place, path))
    return err(usage('file-inside', 'a private key never lies in the state folder', 'name a place outside it', path));
  if (place.disk.look(path) !== undefined)
    return err(usage('file-there', 'there is such a file already', 'name one that is not there yet', path));
  const secret = newSecret(place.random);
  const keep = (): Outcome<void> => writeKeyFileAt(place.disk, path, keyFileText(place, secret, person, passphrase));
  return ok({ signer: makeSigner(secret), keep });
};

/** The key that the person has on this machine from another build; one key serves them in all builds. */
export const keyHere = (
  place: Workplace,
  folder: string,
  { person, passphrase }: Owner,
): Outcome<Signer | undefined> => {
  const file = readKeyFileOf(place.disk, folder, person);
  if (!file.ok) return file.fault.code === 'file-missing' ? ok(undefined) : file;
  const key = findKey(place, file.value);
  return key.ok ? openKey(place, key.value, person, passphrase) : key;
};

/** Remembers where the key of this machine's own person is. Nothing of the private key is copied. */
export const rememberKey = (place: Workplace, folder: string, person: string, brought: BroughtKey): ReadyKey => {
  const { key, signer } = brought;
  const text = key.kind === 'agent' ? agentText(key.publicKey) : elsewhereText(key.file.path);
  return { signer, keep: () => keepText(place, folder, person, text) };
};

/** Where a person's key is on this machine, in words for the person, and which key it is. */
export interface KeyPlace {
  readonly where: string;
  /** Absent where the key cannot be read. */
  readonly fingerprint?: string;
}

/** `undefined` where the person has no key here. */
export const keyPlace = (place: Workplace, folder: string, person: string): KeyPlace | undefined => {
  const file = readKeyFileOf(place.disk, folder, person);
  if (!file.ok) return undefined;
  const read = readKeyText(file.value.text);
  if (!read.ok) return { where: 'on this machine, damaged' };
  const where = read.value.kind === 'elsewhere' ? `in ${read.value.path}` : 'on this machine';
  const key = findKey(place, file.value);
  if (!key.ok) return { where: `${where}, where it cannot be read` };
  const fingerprint = fingerprintOf(key.value);
  if (key.value.kind === 'agent') return { where: 'in the ssh-agent', fingerprint };
  return { where: key.value.kind === 'locked' ? `${where}, with a passphrase` : where, fingerprint };
};

/** Another person of this build whose key here signs without a passphrase: this is their machine. */
const owner = (place: Workplace, state: BuildState, folder: string, person: string): string | undefined => {
  const found = peopleWithKeys(place.disk, folder);
  const others = (found.ok ? found.value : []).filter((one) => one !== person && Object.hasOwn(state.keys, one));
  return others.find((one) => {
    const file = readKeyFileOf(place.disk, folder, one);
    const key = file.ok ? findKey(place, file.value) : file;
    return key.ok && key.value.kind !== 'locked';
  });
};

/**
 * Remembers where the person's key is from now on: in their file, or in their ssh-agent. Codes: `key-unknown` (not a key of
 * theirs in this build), `key-other` (the key has no passphrase, and this is another person's machine).
 */
export const keyLiesHere = ({ place, state }: Workshop, person: string, brought: BroughtKey): Outcome<Signer> => {
  const now = state();
  const fingerprint = fingerprintOf(brought.key);
  if (keyInForce(now, person, fingerprint) === undefined)
    return err(usage('key-unknown', `${fingerprint} is no key of ${person} in this build`, 'see: dryfit key'));
  const folder = keyFolder(place, now.scripted);
  const other = brought.key.kind === 'locked' ? undefined : owner(place, now, folder, person);
  if (other !== undefined)
    return err(
      usage(
        'key-other',
        `${other} signs on this machine without a passphrase; the key of ${person} would be open to them`,
        `${person} gives it a passphrase (ssh-keygen -p), or signs with --key FILE each time`,
      ),
    );
  const kept = rememberKey(place, folder, person, brought).keep();
  return kept.ok ? ok(brought.signer) : kept;
};

const notOurs = (person: string, what: string, todo: string): Outcome<never> =>
  err(usage('key-elsewhere', what, todo, person));

/** The private key on this machine, opened. */
const secretHere = (place: Workplace, folder: string, { person, passphrase }: Owner): Outcome<SecretKey> => {
  const file = readKeyFileOf(place.disk, folder, person);
  if (!file.ok)
    return file.fault.code === 'file-missing'
      ? err(usage('key-missing', `the key of ${person} is not on this machine`, 'change it where it lies', person))
      : file;
  const read = readKeyText(file.value.text);
  if (!read.ok) return read;
  const key = read.value;
  if (key.kind === 'agent')
    return notOurs(
      person,
      `the key of ${person} lies in the ssh-agent`,
      'ssh-keygen -p -f FILE changes its passphrase',
    );
  if (key.kind === 'elsewhere')
    return notOurs(person, `the key of ${person} lies in ${key.path}`, `ssh-keygen -p -f ${key.path}`);
  if (key.kind === 'open') return ok(key.secret);
  return unlockKey(place, { ...key, file: file.value }, person, passphrase);
};

/**
 * Changes the passphrase of the key that a person has here; without a new one, only checks that the old one opens it.
 * Codes `key-missing`, `key-elsewhere` (the file is another program's), `passphrase-wanted`, `passphrase`, `disk-…`.
 */
export const changePassphrase = (
  { place, state }: Workshop,
  person: string,
  before: string | undefined,
  after: string | undefined,
): Outcome<SecretKey> => {
  const folder = keyFolder(place, state().scripted);
  const secret = secretHere(place, folder, { person, ...(before === undefined ? {} : { passphrase: before }) });
  if (!secret.ok || after === undefined) return secret;
  const text = keyFileText(place, secret.value, person, after);
  const kept = writeKeyFileOf(place.disk, folder, person, text);
  return kept.ok ? secret : kept;
};
