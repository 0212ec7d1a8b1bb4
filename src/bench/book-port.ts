import { own } from '../fault/own.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { typedText } from '../job/parse.ts';
import { allPowers, signingPowers, wantsSignature } from '../job/surroundings.ts';
import { peopleOf } from '../aircraft/state.ts';
import { addPerson } from '../workshop/keys/people.ts';
import type { SignerOf } from '../workshop/keys/signers.ts';
import { takeInTool } from '../workshop/stock.ts';
import type { Workshop } from '../workshop/workshop.ts';
import type { Act, BookVerb, Secrets } from './ports.ts';
import { idFrom, newcomerSecret } from './session/newcomer.ts';

type Book = (workshop: Workshop, act: Act, secrets: Secrets, signerOf: SignerOf) => Outcome<string>;

/** An id that nobody has: of the name, with a number where somebody has that. */
const freeId = (workshop: Workshop, name: string): string => {
  const id = idFrom(name);
  const taken = peopleOf(workshop.state());
  if (!taken.includes(id)) return id;
  let number = 2;
  while (taken.includes(`${id}-${number}`)) number += 1;
  return `${id}-${number}`;
};

const books: { readonly [V in BookVerb]: Book } = {
  'take-in-tool': (workshop, { data, by }, _secrets, signerOf) => {
    const line = Object.fromEntries(
      Object.keys(data).flatMap((key) => {
        const text = typedText(data, key);
        return text === undefined ? [] : [[key, text]];
      }),
    );
    const done = takeInTool(workshop, line, by, signerOf);
    return done.ok ? ok(`${line['tool'] ?? ''} is taken in`) : done;
  },
  'introduce-person': (workshop, { data, by }, secrets, signerOf) => {
    const name = typedText(data, 'name') ?? '';
    const powers = allPowers.filter((power) => power === typedText(data, 'power'));
    const person = freeId(workshop, name);
    const passphrase = own(secrets, newcomerSecret('passphrase')) ?? '';
    const signs = powers.some((power) => signingPowers.includes(power));
    if (passphrase !== (own(secrets, newcomerSecret('again')) ?? ''))
      return err(usage('passphrases-differ', 'The two passphrases differ.', 'Type it twice the same.'));
    if (signs && passphrase === '')
      return err(usage('passphrase-missing', `${name} signs here with their own key.`, 'Choose a passphrase for it.'));
    const accepts = powers.filter(wantsSignature);
    const newcomer = signs ? { person, name, passphrase, accepts } : undefined;
    const done = addPerson(workshop, { person, name, powers }, newcomer, by, signerOf);
    return done.ok ? ok(`${name} is introduced`) : done;
  },
};

/** Does a piece of book-keeping; gives what to say about it. */
export const book = (
  workshop: Workshop,
  act: Act & { readonly verb: BookVerb },
  secrets: Secrets,
  signerOf: SignerOf,
): Outcome<string> => books[act.verb](workshop, act, secrets, signerOf);
