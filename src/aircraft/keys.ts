import { own } from '../fault/own.ts';
import type { EntryOf } from '../job/entry.ts';
import type { JournalLine } from '../proof/line.ts';
import type { BuildState, KnownKey } from './state.ts';

/*
 * Whose key is whose, and which keys are in force. `introductions.ts` decides who may introduce a key.
 */

/** The parts of a line that say who signed it and whom it introduces. */
export type SignedLine = Pick<JournalLine, 'type' | 'by' | 'key' | 'data' | 'also'>;

/**
 * Whether the writer of a line knew an entry (`WRITER:SEQ`) when they wrote the line. On another machine somebody may have ended a key
 * meanwhile.
 */
export type Knew = (entry: string) => boolean;
export const knewAll: Knew = () => true;

/** Every key that a person ever had in this build, ended or not. */
export const keysOf = (state: BuildState, person: string): readonly KnownKey[] => own(state.keys, person) ?? [];

export const inForce = (keys: readonly KnownKey[], fingerprint: string, knew: Knew): KnownKey | undefined =>
  keys.find((known) => known.fingerprint === fingerprint && (known.ended === undefined || !knew(known.ended)));

/** A person's key with this fingerprint, where the build knows the key here and the signer had not seen that it was ended. */
export const keyInForce = (
  state: BuildState,
  person: string,
  fingerprint: string,
  knew: Knew = knewAll,
): KnownKey | undefined => inForce(keysOf(state, person), fingerprint, knew);

/** The entry that ended a person's key, or used up their recovery key; `undefined` for a key that is in force or unknown. */
export const endOf = (state: BuildState, person: string, fingerprint: string): string | undefined => {
  const known = [...keysOf(state, person), ...(own(state.recovery, person) ?? [])].filter(
    (one) => one.fingerprint === fingerprint,
  );
  return known.every(({ ended }) => ended !== undefined) ? known.at(-1)?.ended : undefined;
};

/** The key with which a person signs now; `undefined` where the person has no key in force. */
export const currentKeyOf = (state: BuildState, person: string): KnownKey | undefined =>
  keysOf(state, person).findLast(({ ended }) => ended === undefined);

/** The recovery key that a person may use now. */
export const recoveryOf = (state: BuildState, person: string): KnownKey | undefined =>
  own(state.recovery, person)?.find(({ ended }) => ended === undefined);

export const textIn = (line: SignedLine, name: string): string | undefined => {
  const value = line.data[name];
  return typeof value === 'string' ? value : undefined;
};

/** True for a type of line that introduces a key. */
export const bringsKey = (type: string): type is 'key' | 'recovery' => type === 'key' || type === 'recovery';

/**
 * True for a line with which a person introduces their own key and signs. Somebody else may bring a key that its person signed for
 * elsewhere.
 */
export const bringsOwn = (line: SignedLine): boolean => bringsKey(line.type) && line.data['person'] === line.by;

/** The key with which a line must be signed, as the journal knows it. */
export const signingKey = (state: BuildState, line: SignedLine, knew?: Knew): string | undefined =>
  (bringsOwn(line) ? textIn(line, 'key') : undefined) ?? keyInForce(state, line.by, line.key, knew)?.key;

/** The recovery key that a replacement of a lost key says it uses up. */
export const spentRecovery = (state: BuildState, line: SignedLine, knew: Knew): KnownKey | undefined => {
  const fingerprint = line.type === 'key' ? textIn(line, 'recovery') : undefined;
  return fingerprint === undefined ? undefined : inForce(own(state.recovery, line.by) ?? [], fingerprint, knew);
};

/** The key of somebody who also signed the line, beside its author. */
export const coSigningKey = (
  state: BuildState,
  line: SignedLine,
  also: { readonly by: string; readonly key: string },
  knew: Knew = knewAll,
): string | undefined => {
  const known = keyInForce(state, also.by, also.key, knew);
  if (known !== undefined || also.by !== line.by) return known?.key;
  const recovery = spentRecovery(state, line, knew);
  return recovery?.fingerprint === also.key ? recovery.key : undefined;
};

/** The person who has, or had, the key with this fingerprint. */
export const holderOf = (state: BuildState, fingerprint: string): string | undefined =>
  Object.keys(state.keys).find((person) => keysOf(state, person).some((known) => known.fingerprint === fingerprint));

const ended = (keys: readonly KnownKey[], fingerprint: string | undefined, entry: string): readonly KnownKey[] =>
  keys.map((known) =>
    known.fingerprint === fingerprint && known.ended === undefined ? { ...known, ended: entry } : known,
  );

/** The person whose key an entry introduces. */
const personOf = (entry: EntryOf<'key' | 'recovery'>): string => entry.data.person ?? entry.by;

/** The keys without the one that this entry introduced while the entry was in doubt. */
const undoubted = (keys: readonly KnownKey[], entry: { readonly id: string }): readonly KnownKey[] =>
  keys.filter((known) => known.entry !== entry.id);

/**
 * The keys after a `key` entry. A key that replaces another one ends it, and a recovery key that was used for this cannot be used again.
 */
export const withKey = (state: BuildState, entry: EntryOf<'key'>, known: KnownKey): BuildState => {
  const person = personOf(entry);
  const keys = ended(undoubted(keysOf(state, person), entry), entry.data.replaces, entry.id);
  const isNew = !keys.some((one) => one.fingerprint === known.fingerprint);
  const { recovery, follows } = entry.data;
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

/** The keys after a `recovery` entry. A new recovery key ends the one before. */
export const withRecovery = (state: BuildState, entry: EntryOf<'recovery'>, known: KnownKey): BuildState => {
  const kept = undoubted(own(state.recovery, entry.by) ?? [], entry);
  const before = kept.map((one) => (one.ended === undefined ? { ...one, ended: entry.id } : one));
  return { ...state, recovery: { ...state.recovery, [entry.by]: [...before, known] } };
};

/**
 * The keys after an entry that introduces one, but is signed with a key that somebody ended elsewhere at the same time. The rest of the
 * entry waits until a person settles it. What its writer signed with the new key before they knew of the end is accepted, in doubt as the
 * entry is; once the writer knows, the new key counts as ended with the other.
 */
export const withDoubted = (
  state: BuildState,
  entry: EntryOf<'key' | 'recovery'>,
  known: KnownKey,
  ended: string,
): BuildState => {
  const person = personOf(entry);
  const list = entry.type === 'recovery' ? 'recovery' : 'keys';
  const before = own(state[list], person) ?? [];
  const isNew = !before.some(({ fingerprint }) => fingerprint === known.fingerprint);
  return isNew ? { ...state, [list]: { ...state[list], [person]: [...before, { ...known, ended }] } } : state;
};
