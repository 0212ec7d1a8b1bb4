import type { Outcome } from '../../fault/fault.ts';
import { readKeyLine, type PublicKey } from '../../proof/keys.ts';

/** Reads each key from its text once: a build has few keys, and its journal names them thousands of times. */
export type PublicKeyReader = (text: string) => Outcome<PublicKey>;

export const publicKeyReader = (): PublicKeyReader => {
  const read = new Map<string, Outcome<PublicKey>>();
  return (text) => {
    const known = read.get(text) ?? readKeyLine(text);
    read.set(text, known);
    return known;
  };
};
