import { own } from '../fault/own.ts';
import type { Entry } from '../job/entry.ts';
import type { JournalLine } from '../proof/line.ts';
import { powersOf, type BuildState, type KnownKey } from './state.ts';

/*
 * Whose key is whose, and who may say so. The first key of a build introduces itself; a later one is signed by itself and by somebody who is
 * known. A lost key is replaced with the old key, with a recovery key that its person made for that day, or with the word of another
 * inspector (for somebody who neither inspects nor accepts, of anybody known). Where nobody can vouch, it is a new person, marked.
 */

/** What of a line says who signed it, and what it introduces. */
export type SignedLine = Pick<JournalLine, 'type' | 'by' | 'key' | 'data' | 'also'>;

/** Whether the writer of a line knew an entry (`WRITER:SEQ`) when they wrote: on another machine a key may have ended meanwhile. */
export type Knew = (entry: string) => boolean;
const knewAll: Knew = () => true;

/** Every key that a person ever had here, ended or not. */
export const keysOf = (state: BuildState, person: string): readonly KnownKey[] => own(state.keys, person) ?? [];

const inForce = (keys: readonly KnownKey[], fingerprint: string, knew: Knew): KnownKey | undefined =>
  keys.find((known) => known.fingerprint === fingerprint && (known.ended === undefined || !knew(known.ended)));

/** A person's key by its fingerprint, where the build knows it at this place and whoever signed with it did not know it ended. */
export const keyInForce = (
  state: BuildState,
  person: string,
  fingerprint: string,
  knew: Knew = knewAll,
): KnownKey | undefined => inForce(keysOf(state, person), fingerprint, knew);

/** The entry that ended a person's key, or spent their recovery key; `undefined` for one that is in force, or not known at all. */
export const endOf = (state: BuildState, person: string, fingerprint: string): string | undefined => {
  const known = [...keysOf(state, person), ...(own(state.recovery, person) ?? [])].filter(
    (one) => one.fingerprint === fingerprint,
  );
  return known.every(({ ended }) => ended !== undefined) ? known.at(-1)?.ended : undefined;
};

/** The recovery key that a person may use now. */
export const recoveryOf = (state: BuildState, person: string): KnownKey | undefined =>
  own(state.recovery, person)?.find(({ ended }) => ended === undefined);

const textIn = (line: SignedLine, name: string): string | undefined => {
  const value = line.data[name];
  return typeof value === 'string' ? value : undefined;
};

/** The lines that bring their own key along, and are signed with it. */
export const bringsKey = (type: string): boolean => type === 'key' || type === 'recovery';

/** The key with which a line must be signed, as the journal has it. */
export const signingKey = (state: BuildState, line: SignedLine, knew?: Knew): string | undefined =>
  (bringsKey(line.type) ? textIn(line, 'key') : undefined) ?? keyInForce(state, line.by, line.key, knew)?.key;

/** The recovery key that a replacement says it spends. */
const spent = (state: BuildState, line: SignedLine, knew: Knew): KnownKey | undefined => {
  const fingerprint = line.type === 'key' ? textIn(line, 'recovery') : undefined;
  return fingerprint === undefined ? undefined : inForce(own(state.recovery, line.by) ?? [], fingerprint, knew);
};

/** The key with which somebody signed beside the person whose line it is. */
export const coSigningKey = (
  state: BuildState,
  line: SignedLine,
  also: { readonly by: string; readonly key: string },
  knew: Knew = knewAll,
): string | undefined => {
  const known = keyInForce(state, also.by, also.key, knew);
  if (known !== undefined || also.by !== line.by) return known?.key;
  const recovery = spent(state, line, knew);
  return recovery?.fingerprint === also.key ? recovery.key : undefined;
};

/** Whose key it is, or was. */
export const holderOf = (state: BuildState, fingerprint: string): string | undefined =>
  Object.keys(state.keys).find((person) => keysOf(state, person).some((known) => known.fingerprint === fingerprint));

/** Whose key it is already; one key stands for one person, and a recovery key for nothing else. */
const takenFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  const other = holderOf(state, line.key);
  if (other !== undefined && other !== line.by) return `introduces a key that is ${other}'s`;
  const kept = Object.values(state.recovery).some((keys) => keys.some(({ fingerprint }) => fingerprint === line.key));
  if (kept) return 'introduces a key that was kept for recovery';
  const had = keysOf(state, line.by).some(({ fingerprint }) => fingerprint === line.key);
  return had && keyInForce(state, line.by, line.key, knew) === undefined
    ? 'introduces a key that has ended'
    : undefined;
};

const replacedFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  const replaces = textIn(line, 'replaces');
  if (replaces !== undefined && keyInForce(state, line.by, replaces, knew) === undefined)
    return 'takes the place of a key that is not theirs, or has ended';
  if (line.data['recovery'] === undefined) return undefined;
  const key = spent(state, line, knew);
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

/** Somebody who may inspect or accept is vouched for with a key of their own, or by another inspector; anybody else by anybody known. */
const vouchedFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  if (state.entries === 0 || keyInForce(state, line.by, line.key, knew) !== undefined) return undefined;
  const introducers = (line.also ?? []).map(({ by }) => by);
  if (introducers.length === 0)
    return line.data['follows'] === undefined ? 'introduces a key that nobody known has signed for' : undefined;
  const isTrusted = (own(state.accepted, line.by) ?? []).length > 0;
  const vouches = (person: string): boolean => person === line.by || powersOf(state, person).includes('inspector');
  return isTrusted && !introducers.some(vouches)
    ? 'introduces a further key that neither their old one nor another inspector has signed for'
    : undefined;
};

/** A recovery key is made by its person, with the key that they have. */
const recoveryFlaw = (state: BuildState, line: SignedLine, knew: Knew): string | undefined => {
  if (keysOf(state, line.by).some(({ fingerprint }) => fingerprint === line.key))
    return 'keeps for recovery a key that signs already';
  const signed = line.also?.some((also) => also.by === line.by && keyInForce(state, also.by, also.key, knew));
  return signed === true ? undefined : 'keeps a key for recovery that they have not signed for with their own';
};

/** Why a line may not introduce the key that it brings; `undefined` where it may, and for every other line. */
export const introductionFlaw = (state: BuildState, line: SignedLine, knew: Knew = knewAll): string | undefined => {
  if (!bringsKey(line.type)) return undefined;
  if (line.data['person'] !== line.by) return 'introduces a key for somebody else';
  const taken = takenFlaw(state, line, knew);
  if (taken !== undefined || line.type === 'recovery') return taken ?? recoveryFlaw(state, line, knew);
  return replacedFlaw(state, line, knew) ?? followsFlaw(state, line) ?? vouchedFlaw(state, line, knew);
};

const ended = (keys: readonly KnownKey[], fingerprint: string | undefined, entry: string): readonly KnownKey[] =>
  keys.map((known) =>
    known.fingerprint === fingerprint && known.ended === undefined ? { ...known, ended: entry } : known,
  );

/** The keys after a `key` entry: a key that replaces another ends it, and a recovery key that was used is spent. */
export const withKey = (state: BuildState, entry: Entry, known: KnownKey): BuildState => {
  const data = (name: string): string | undefined => {
    const value = entry.data[name];
    return typeof value === 'string' ? value : undefined;
  };
  const person = entry.by;
  const keys = ended(keysOf(state, person), data('replaces'), entry.id);
  const isNew = !keys.some((one) => one.fingerprint === known.fingerprint && one.ended === undefined);
  const recovery = data('recovery');
  const follows = data('follows');
  return {
    ...state,
    keys: { ...state.keys, [person]: isNew ? [...keys, known] : keys },
    ...(recovery === undefined
      ? {}
      : { recovery: { ...state.recovery, [person]: ended(own(state.recovery, person) ?? [], recovery, entry.id) } }),
    ...(follows === undefined
      ? {}
      : { following: { ...state.following, [person]: { person: follows, entry: entry.id, introducers: entry.also } } }),
  };
};

/** The keys after a `recovery` entry: the one before it is good for nothing more. */
export const withRecovery = (state: BuildState, entry: Entry, known: KnownKey): BuildState => {
  const before = (own(state.recovery, entry.by) ?? []).map((one) => (one.ended ? one : { ...one, ended: entry.id }));
  return { ...state, recovery: { ...state.recovery, [entry.by]: [...before, known] } };
};

/** The keys once a person says that the entry which introduced one does not stand: what it introduced ends. */
export const withoutKeys = (state: BuildState, introducing: Entry, entry: string): BuildState => {
  const without = (
    keys: Readonly<Record<string, readonly KnownKey[]>>,
  ): Readonly<Record<string, readonly KnownKey[]>> => {
    const all = own(keys, introducing.by);
    if (all === undefined) return keys;
    const left = all.map((one) =>
      one.entry === introducing.id && one.ended === undefined ? { ...one, ended: entry } : one,
    );
    return { ...keys, [introducing.by]: left };
  };
  return { ...state, keys: without(state.keys), recovery: without(state.recovery) };
};
