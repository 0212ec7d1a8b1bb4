import type { BuildState } from '../../aircraft/state.ts';
import { writeSigners, type AllowedSigner } from '../../proof/signers.ts';
import type { PublicKeyReader } from './public-keys.ts';
import { own } from '../../fault/own.ts';

/** Every key that the journal ever introduced: people by id, the keys of each in their order. */
export const signersOf = (state: BuildState, read: PublicKeyReader): readonly AllowedSigner[] =>
  Object.keys(state.keys)
    .toSorted()
    .flatMap((person) =>
      (own(state.keys, person) ?? []).flatMap(({ key }) => {
        const known = read(key);
        return known.ok ? [{ person, key: known.value }] : [];
      }),
    );

/** The text of `allowed_signers`. */
export const signersText = (state: BuildState, read: PublicKeyReader): string => writeSigners(signersOf(state, read));
