import { err, ok, refusalNamed, usage, type Outcome } from '../fault/fault.ts';
import { signingPowers, type Power } from '../job/surroundings.ts';
import type { Data } from '../job/entry.ts';
import { canonicalJson, isJsonObject, parseCanonicalLine, type Json, type JsonObject } from '../proof/canonical.ts';
import { isFingerprint, readKeyLine, type PublicKey } from '../proof/keys.ts';
import { isPerson } from '../proof/line-shape.ts';
import { namespaces, verifySshsig } from '../proof/sshsig.ts';
import { carriedFault, type CarriedKind } from './carried.ts';
import type { BuildState } from './state.ts';

/*
 * How a person who is elsewhere joins the build. Their role is written into a file. They sign the file with plain `ssh-keygen` and the key
 * that they will use, and somebody known to the build brings the file back.
 */

/** What a person signs to have a key in this build. */
export interface Invitation {
  readonly v: 1;
  readonly build: string;
  readonly person: string;
  /** The person's public key, as `ssh-ed25519 AAAA…`. */
  readonly key: string;
  readonly name?: string;
  /** The powers that the person is to have; absent where the build already knows the person. */
  readonly powers?: readonly Power[];
  /** Fingerprint of the key that this key replaces. */
  readonly replaces?: string;
}

/** The text of the file: canonical JSON and a line feed, so that the signed bytes are always the same. */
export const invitationText = (invitation: Invitation): string => `${canonicalJson(invitation as unknown as Json)}\n`;

/** The data of the entry that brings an invitation. The version and the build are left out, because every journal line has its own. */
export const invitationData = ({ v: _v, build: _build, ...data }: Invitation): JsonObject =>
  data as unknown as JsonObject;

type Rule = (value: Json) => boolean;
const isText: Rule = (value) => typeof value === 'string' && value !== '' && value.length <= 200;
const fields: Readonly<Record<string, Rule>> = {
  v: (value) => value === 1,
  build: isText,
  person: (value) => typeof value === 'string' && isPerson(value),
  key: isText,
  name: isText,
  powers: (value) =>
    Array.isArray(value) && value.length > 0 && value.every((power) => signingPowers.some((known) => known === power)),
  replaces: (value) => typeof value === 'string' && isFingerprint(value),
};
const wanted = ['v', 'build', 'person', 'key'];

const isInvitation = (value: JsonObject): boolean =>
  wanted.every((name) => Object.hasOwn(value, name)) &&
  Object.entries(value).every(([name, item]) => Object.hasOwn(fields, name) && fields[name]?.(item) === true);

const unreadable = err(
  usage(
    'invitation-unreadable',
    'this is no invitation into a build',
    'sign the file as `dryfit person invite` wrote it, unchanged',
  ),
);

/** How an invitation is signed and named, for the checks that all carried files share. */
export const asInvitation: CarriedKind = { what: 'invitation', namespace: namespaces.entry };

export interface SignedInvitation {
  readonly invitation: Invitation;
  readonly key: PublicKey;
}

/**
 * Reads an invitation that was brought back signed. Refused with `invitation-build`, `invitation-namespace`, `invitation-key` or
 * `invitation-signature`. A text that is not an invitation is a usage fault `invitation-unreadable`; an unreadable key gives the faults of
 * `readKeyLine`.
 */
export const readSigned = (state: BuildState, text: string, signature: string): Outcome<SignedInvitation> => {
  const read = parseCanonicalLine(text.replace(/\r?\n$/, ''));
  if (!read.ok || !isJsonObject(read.value) || !isInvitation(read.value)) return unreadable;
  const invitation = read.value as unknown as Invitation;
  const key = readKeyLine(invitation.key);
  if (!key.ok || key.value.text !== invitation.key) return unreadable;
  if (invitation.build !== state.build)
    return err(
      refusalNamed(
        'invitation-build',
        'the invitation is into another build',
        'have one made and signed for this build',
      ),
    );
  const verified = verifySshsig(signature, text, asInvitation.namespace, [key.value]);
  return verified.ok
    ? ok({ invitation, key: key.value })
    : err(carriedFault(asInvitation, verified.fault, `${invitation.person} signs it with the key that it names`));
};

/** The data of the entry that brings an invitation: what was signed, and the signature that proves it. */
export const carriedData = (invitation: Invitation, text: string, signature: string): Data => ({
  ...(invitationData(invitation) as Data),
  signed: text,
  'signed-sig': signature,
});
