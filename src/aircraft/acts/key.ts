import { ok, type Outcome } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { EntryOf } from '../../job/entry.ts';
import { allPowers, wantsSignature, type Power } from '../../job/surroundings.ts';
import { readKeyLine } from '../../proof/keys.ts';
import { withKey, withRecovery } from '../keys.ts';
import { withValue, type BuildState, type KnownKey } from '../state.ts';
import type { Evolve } from './act.ts';

/** The public key that a line brings, read; a fault where the key cannot be read. */
export const keyBrought = (entry: EntryOf<'key' | 'recovery'>): Outcome<KnownKey> => {
  const { key } = entry.data;
  const read = readKeyLine(key);
  return read.ok ? ok({ key, fingerprint: read.value.fingerprint, entry: entry.id }) : read;
};

const isPower = (text: string): text is Power => allPowers.some((power) => power === text);

/** Records that a person has signed for powers, beside those signed for before. */
export const accept = (
  state: Pick<BuildState, 'accepted'>,
  person: string,
  powers: readonly string[],
): BuildState['accepted'] => {
  const more = powers.filter(isPower).filter(wantsSignature);
  return withValue(state.accepted, person, [...new Set([...(own(state.accepted, person) ?? []), ...more])]);
};

/** A person introduces a key. The first line of a build also says whether the build is scripted. */
export const evolveKey: Evolve<'key'> = (state, entry) => {
  const known = keyBrought(entry);
  if (!known.ok) return known;
  const { person = entry.by, name, powers = [], scripted } = entry.data;
  return ok({
    ...withKey(state, entry, known.value),
    names: name === undefined ? state.names : withValue(state.names, person, name),
    accepted: accept(state, person, powers),
    scripted: state.entries === 0 ? scripted === true : state.scripted,
  });
};

/** A person introduces a recovery key: a second key, kept elsewhere, for the day on which the first one is lost. */
export const evolveRecovery: Evolve<'recovery'> = (state, entry) => {
  const known = keyBrought(entry);
  return known.ok ? ok(withRecovery(state, entry, known.value)) : known;
};
