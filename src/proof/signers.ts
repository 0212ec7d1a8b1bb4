import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { readKeyLine, type PublicKey } from './keys.ts';
import { isPerson } from './line-shape.ts';
import { namespaces, verifySshsig } from './sshsig.ts';

/** One line of an allowed_signers file: this person signs with this key. */
export interface AllowedSigner {
  readonly person: string;
  readonly key: PublicKey;
  /** What the key may sign for; absent where the line does not say, which allows everything. */
  readonly namespaces?: readonly string[];
}

export interface Signers {
  readonly signers: readonly AllowedSigner[];
  /** A fault for each line that was skipped: other kinds of keys, and options that dryfit does not read. */
  readonly passed: readonly Fault[];
}

/** In characters; a longer text is refused unread. */
export const maxSigners = 1024 * 1024;

const allNamespaces = Object.values(namespaces).join(',');

/** One line, as dryfit writes it. */
export const signerLine = (person: string, key: PublicKey): string =>
  `${person} namespaces="${allNamespaces}" ${key.text}`;

/** A whole file, one line for each key, in the order given. A person with two keys has two lines. */
export const writeSigners = (signers: readonly Pick<AllowedSigner, 'person' | 'key'>[]): string =>
  signers.map(({ person, key }) => `${signerLine(person, key)}\n`).join('');

// ALLOWED SIGNERS in ssh-keygen(1): principals, options, key type, key, comment; a quoted option may hold spaces.
const lineForm =
  /^(?<principals>"[^"]*"|\S+)[ \t]+(?:(?<options>(?!ssh-|sk-|ecdsa-)(?:"[^"]*"|[^\s"])+)[ \t]+)?(?<key>\S+[ \t]+\S+.*)$/;
const namespacesForm = /^namespaces="([^"]*)"$/i;

const readNamespaces = (options: string | undefined): Outcome<readonly string[] | undefined> => {
  if (options === undefined) return ok(undefined);
  const list = namespacesForm.exec(options)?.[1];
  return list === undefined
    ? err(wrong('signers-option', `the option ${options} is not read here`, 'Give the key with namespaces="…" alone'))
    : ok(list.split(','));
};

const readSigner = (text: string): Outcome<readonly AllowedSigner[]> => {
  const { principals = '', options, key = '' } = lineForm.exec(text)?.groups ?? {};
  const people = principals.replaceAll('"', '').split(',');
  if (!people.every(isPerson))
    return err(wrong('signers-person', 'the line does not begin with a person', 'Write: PERSON ssh-ed25519 AAAA…'));
  const allowed = readNamespaces(options);
  if (!allowed.ok) return allowed;
  const read = readKeyLine(key);
  if (!read.ok) return read;
  const scope = allowed.value === undefined ? {} : { namespaces: allowed.value };
  return ok(people.map((person) => ({ person, key: read.value, ...scope })));
};

/**
 * Reads an allowed_signers file. Lines that dryfit cannot use are skipped, with a fault for each; only a file that is too long is
 * refused.
 */
export const readSigners = (text: string, file = 'allowed_signers'): Outcome<Signers> => {
  if (text.length > maxSigners)
    return err(wrong('signers-long', `longer than ${maxSigners} characters`, 'Give an allowed_signers file', file));
  const signers: AllowedSigner[] = [];
  const passed: Fault[] = [];
  for (const [index, line] of text.split(/\r?\n/).entries()) {
    if (line.trim() === '' || line.startsWith('#')) continue;
    const read = readSigner(line.trim());
    if (read.ok) signers.push(...read.value);
    else passed.push({ ...read.fault, where: `${file}:${index + 1}` });
  }
  return ok({ signers, passed });
};

/** The keys with which one person, or anyone, may sign for a purpose. */
export const keysFor = (
  signers: readonly AllowedSigner[],
  namespace: string,
  person?: string,
): readonly AllowedSigner[] =>
  signers.filter(
    (signer) => (person === undefined || signer.person === person) && (signer.namespaces?.includes(namespace) ?? true),
  );

/**
 * Who signed a message, as `ssh-keygen -Y find-principals` and `-Y verify` together would say.
 * Codes as `verifySshsig`; `signature-key` where nobody who may sign for this has the key.
 */
export const signerOf = (
  armored: string,
  message: Uint8Array | string,
  namespace: string,
  signers: readonly AllowedSigner[],
): Outcome<AllowedSigner> => {
  const allowed = keysFor(signers, namespace);
  const verified = verifySshsig(
    armored,
    message,
    namespace,
    allowed.map(({ key }) => key),
  );
  if (!verified.ok) return verified;
  return ok(allowed.find(({ key }) => key.fingerprint === verified.value.fingerprint) as AllowedSigner);
};
