import type { Outcome } from '../../fault/fault.ts';
import type { Signer } from '../../signing/signer.ts';

/** Finds the key with which a person signs. Codes `key-missing`, `passphrase-wanted`, `passphrase`, …, with the person as `where`. */
export type SignerOf = (person: string) => Outcome<Signer>;
