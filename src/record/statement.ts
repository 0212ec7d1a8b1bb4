/**
 * What a signature on a record means and what it does not, and the cautions that every record carries.
 * They are in the file itself, which may be read when the program is long gone.
 */
export const signedMeans: readonly string[] = [
  'Signed means: whoever holds the private key of the person named as signer made an Ed25519 signature over the exact bytes of this file. With any byte changed the signature no longer fits.',
  'Each entry is a line of the journal of this build. Every line holds the SHA-256 of the line before it and is signed by the person who entered it: that binds entry to text and order.',
  'A signature shows which key signed. It is no proof of the identity of the person who used the key, nor that what was entered is true.',
  'An answer at a hold is a text of its own, signed by the person who looked, and lies beside this file.',
];

const cautions: readonly string[] = [
  "This record is no substitute for the kit's manual, the agreement of its designer, or the inspector whom the law asks for. Where they differ, they win.",
  'dryfit approves nothing. A finished record is not an approval of airworthiness: it says what was entered, and the rest is for the builder to declare and the authority to find.',
  'Rules differ from country to country, and change. Ask the authority where the aircraft is to be registered.',
  'Clocks, thermometers and other tools are only as good as what was typed in. Values are entered: dryfit has seen none of them taken.',
];

const rehearsed =
  'This record comes out of a rehearsal: a script wrote it, nothing in it happened at a bench. Procedures and limits in it may be invented; none may be used on a real aircraft.';

/** The cautions of a record; that of a rehearsal says first that it is one. */
export const cautionsOf = (scripted: boolean): readonly string[] => (scripted ? [rehearsed, ...cautions] : cautions);
