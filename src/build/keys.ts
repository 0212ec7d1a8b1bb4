import { own } from '../fault/own.ts';
import type { BuildState, KnownKey } from './state.ts';

/** Every key that a person ever had here, ended or not. */
export const keysOf = (state: BuildState, person: string): readonly KnownKey[] => own(state.keys, person) ?? [];

/** A person's key by its fingerprint, where the build knows it at this place and it has not ended. */
export const keyInForce = (state: BuildState, person: string, fingerprint: string): KnownKey | undefined =>
  keysOf(state, person).find((known) => known.fingerprint === fingerprint && known.ended === undefined);
