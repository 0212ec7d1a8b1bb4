import type { BuildState } from '../../aircraft/state.ts';
import { canonicalJson, type Json } from '../../proof/canonical.ts';
import { writeSigners, type AllowedSigner } from '../../proof/signers.ts';
import type { PublicKeyReader } from './public-keys.ts';
import { own } from '../../fault/own.ts';

/** The text of `allowed_signers`: every key that the journal ever introduced, people by id, keys in their order. */
export const signersText = (state: BuildState, read: PublicKeyReader): string =>
  writeSigners(
    Object.keys(state.keys)
      .toSorted()
      .flatMap((person) =>
        (own(state.keys, person) ?? []).flatMap(({ key }) => {
          const known = read(key);
          return known.ok ? [{ person, key: known.value }] : [];
        }),
      ),
  );

/** The same as the verifier takes it: keys out of the journal alone. */
export const signersOf = (state: BuildState, read: PublicKeyReader): readonly AllowedSigner[] =>
  Object.entries(state.keys).flatMap(([person, keys]) =>
    keys.flatMap(({ key }) => {
      const known = read(key);
      return known.ok ? [{ person, key: known.value }] : [];
    }),
  );

/** True where two pieces of plain data say the same. */
export const sameData = (one: unknown, other: unknown): boolean =>
  canonicalJson(one as Json) === canonicalJson(other as Json);
