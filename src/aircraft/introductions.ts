import { own } from '../fault/own.ts';
import { canonicalJson } from '../proof/canonical.ts';
import { invitationData, readSigned } from './invitation.ts';
import {
  bringsKey,
  bringsOwn,
  holderOf,
  keyInForce,
  keysOf,
  knewAll,
  spentRecovery,
  textIn,
  type Knew,
  type SignedLine,
} from './keys.ts';
import { powersOf, type BuildState } from './state.ts';

/*
 * Decides who may say that a key belongs to a person. The first key of a build introduces itself; a later key is signed by itself and by
 * somebody who is known. A lost key is replaced with the old key, with a recovery key that its person made for that day, or with the word
 * of another inspector (for a person who neither inspects nor accepts, with the word of anybody known). Where nobody can vouch, the
 * newcomer is recorded as a new person, marked.
 */

/** Who already has a key. One key belongs to one person, and a recovery key has no other use. */
const takenFlaw = (state: BuildState, person: string, key: string, knew: Knew): string | undefined => {
  const other = holderOf(state, key);
  if (other !== undefined && other !== person) return `introduces a key that is ${other}'s`;
  const kept = Object.values(state.recovery).some((keys) => keys.some(({ fingerprint }) => fingerprint === key));
  if (kept) return 'introduces a key that was kept for recovery';
  const had = keysOf(state, person).some(({ fingerprint }) => fingerprint === key);
  return had && keyInForce(state, person, key, knew) === undefined ? 'introduces a key that has ended' : undefined;
};

const replacedFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  const replaces = textIn(line, 'replaces');
  if (replaces === line.key) return 'takes the place of itself';
  if (replaces !== undefined && keyInForce(state, line.by, replaces, knew) === undefined)
    return 'takes the place of a key that is not theirs, or has ended';
  if (line.data['recovery'] === undefined) return undefined;
  const key = spentRecovery(state, line, knew);
  if (key === undefined || replaces === undefined)
    return 'replaces a key with a recovery key that is not theirs, or is spent';
  return line.also?.some((also) => also.by === line.by && also.key === key.fingerprint) === true
    ? undefined
    : 'names a recovery key that has not signed';
};

const followsFlaw = (state: BuildState, line: SignedLine): string | undefined => {
  const follows = line.data['follows'];
  if (follows === undefined) return undefined;
  if (keysOf(state, line.by).length > 0) return 'says whom they follow, and is no new person';
  return typeof follows === 'string' && follows !== line.by && keysOf(state, follows).length > 0
    ? undefined
    : 'follows somebody whom the build does not know';
};

const isTrusted = (state: BuildState, person: string): boolean => (own(state.accepted, person) ?? []).length > 0;
/**
 * True for a person who follows somebody else, as they say themselves. Such a person cannot vouch for anybody: else two of them could clear
 * each other's mark.
 */
const isMarked = (state: BuildState, person: string): boolean => own(state.following, person) !== undefined;

/**
 * Whether somebody may vouch for a further key of a person. For a person who inspects or accepts, another inspector may; for anybody else,
 * anybody known.
 */
const vouches = (state: BuildState, voucher: string, person: string): boolean =>
  !isMarked(state, voucher) && (!isTrusted(state, person) || powersOf(state, voucher).includes('inspector'));

const unvouched = (state: BuildState, person: string): string =>
  isTrusted(state, person)
    ? 'introduces a further key that neither their old one nor another inspector has signed for'
    : 'introduces a further key, and whoever has signed for it is marked as following somebody';

/**
 * A person who inspects or accepts needs a key of their own, or another inspector, to vouch for a new key. For anybody else, anybody known
 * may vouch.
 */
const vouchedFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  if (state.entries === 0 || keyInForce(state, line.by, line.key, knew) !== undefined) return undefined;
  const introducers = (line.also ?? []).map(({ by }) => by);
  if (introducers.length === 0)
    return line.data['follows'] === undefined ? 'introduces a key that nobody known has signed for' : undefined;
  const isKnown = keysOf(state, line.by).length > 0;
  return isKnown && !introducers.some((person) => person === line.by || vouches(state, person, line.by))
    ? unvouched(state, line.by)
    : undefined;
};

/** A recovery key must be introduced by its own person, with the key that they already have. */
const recoveryFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  if (keysOf(state, line.by).some(({ fingerprint }) => fingerprint === line.key))
    return 'keeps for recovery a key that signs already';
  const signed = line.also?.some((also) => also.by === line.by && keyInForce(state, also.by, also.key, knew));
  return signed === true ? undefined : 'keeps a key for recovery that they have not signed for with their own';
};

/**
 * Checks a key that somebody else brings. Its person is elsewhere, has no dryfit, and signed for the key there. Whoever brings the key
 * introduces that person, and must be another inspector where the person inspects or accepts already.
 */
const carriedFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  const read = readSigned(state, textIn(line, 'signed') ?? '', textIn(line, 'signed-sig') ?? '');
  if (!read.ok) return `introduces a key for somebody else: ${read.fault.what}`;
  const { invitation, key } = read.value;
  const { signed: _text, 'signed-sig': _signature, ...data } = line.data;
  if (canonicalJson(data) !== canonicalJson(invitationData(invitation)))
    return `says something else than ${invitation.person} has signed for`;
  const replaced = invitation.replaces;
  if (replaced !== undefined && keyInForce(state, invitation.person, replaced, knew) === undefined)
    return 'takes the place of a key that is not theirs, or has ended';
  if (keyInForce(state, invitation.person, key.fingerprint, knew) !== undefined)
    return 'introduces a key that is known';
  const { person } = invitation;
  const isFurther = keysOf(state, person).length > 0;
  return (
    takenFlaw(state, person, key.fingerprint, knew) ??
    (isFurther && !vouches(state, line.by, person) ? unvouched(state, person) : undefined)
  );
};

/** Why a line may not introduce the key that it brings; `undefined` where it may, and for every other line. */
export const introductionFlaw = (state: BuildState, line: SignedLine, knew: Knew = knewAll): string | undefined => {
  if (!bringsKey(line.type)) return undefined;
  if (!bringsOwn(line))
    return line.type === 'key' && line.data['signed'] !== undefined
      ? carriedFlaw(state, line, knew)
      : 'introduces a key for somebody else';
  const taken = takenFlaw(state, line.by, line.key, knew);
  if (taken !== undefined || line.type === 'recovery') return taken ?? recoveryFlaw(state, line, knew);
  return replacedFlaw(state, line, knew) ?? followsFlaw(state, line) ?? vouchedFlaw(state, line, knew);
};
