import { isSeq, parseDocument, stringify } from 'yaml';
import { proposedGates } from '../../aircraft/gates/list.ts';
import { readBuildFile, type PersonLine } from '../../aircraft/file.ts';
import { powersOf, powersOwed } from '../../aircraft/state.ts';
import { escapeText } from '../../fault/escape.ts';
import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import { wantsSignature, type Power } from '../../job/surroundings.ts';
import type { CoSigner, Signer } from '../../signing/signer.ts';
import { stateFiles } from '../../store/layout.ts';
import { hasDraft, readDraftText, writeDraft } from '../draft-file.ts';
import { isPerson } from '../../proof/line-shape.ts';
import { takeInBuild } from '../take-in.ts';
import { enterKey, enterRecovery, type Newcomer } from './key-lines.ts';
import { atHand, keyFolder, keyHere, newKey, newKeyAt, rememberKey, type Owner, type ReadyKey } from './own-keys.ts';
import type { Workplace } from '../place.ts';
import type { SignerOf } from './signers.ts';
import type { Workshop } from '../workshop.ts';

const longestName = 200;

const newcomerFault = (newcomer: Newcomer): Outcome<true> => {
  if (!isPerson(newcomer.person))
    return err(usage('person-id', `'${newcomer.person}' is no person's id`, 'use a to z, 0 to 9 and -'));
  const { name = '' } = newcomer;
  if (escapeText(name) !== name)
    return err(usage('value-unreadable', `the name '${name}' holds characters that steer terminals`, 'type it anew'));
  return name.length > longestName
    ? err(usage('value-unreadable', 'that name is too long', 'give a shorter one'))
    : ok(true);
};

/** The key with which a newcomer signs. */
const keyFor = (place: Workplace, newcomer: Newcomer, scripted: boolean): Outcome<ReadyKey> => {
  const folder = keyFolder(place, scripted);
  const { brought, person, stays } = newcomer;
  if (brought) return ok(stays === true ? rememberKey(place, folder, person, brought) : atHand(brought.signer));
  const here = newcomer.replaces === undefined ? keyHere(place, folder, newcomer) : ok(undefined);
  if (!here.ok) return here;
  return ok(here.value ? atHand(here.value) : newKey(place, folder, newcomer));
};

/**
 * A person introduces a key: the first key of a build signs for itself, a later one is signed by somebody who is known already.
 * The private key is on the disk before the line that names it. Where the line would be refused (`power`), nothing is written.
 */
export const introduce = (
  workshop: Workshop,
  newcomer: Newcomer,
  introducer?: CoSigner,
  scripted = false,
): Outcome<Signer> => {
  const fit = newcomerFault(newcomer);
  if (!fit.ok) return fit;
  const closed = workshop.closed();
  if (closed) return err(closed);
  const ready = keyFor(workshop.place, newcomer, scripted || workshop.state().scripted);
  return ready.ok ? enterKey(workshop, newcomer, ready.value, introducer, scripted) : ready;
};

/** A first build.yaml: the person as builder, and the gates that they named. Every aircraft has its own, so none is put in for them. */
const firstBuild = (newcomer: Newcomer, gates: readonly string[]): string =>
  `# The build: edit this file by hand; dryfit takes a change in, signed, before the next entry.
# gates: the points not to be passed with something open, in their order, such as [${proposedGates.join(', ')}].
${stringify({
  aircraft: {},
  gates,
  people: [
    { person: newcomer.person, ...(newcomer.name === undefined ? {} : { name: newcomer.name }), powers: ['builder'] },
  ],
  tools: [],
  stock: [],
})}`;

/** build.yaml with one more person. The rest of it stays as it was written, with its comments. */
const withPerson = (text: string, line: PersonLine): string => {
  const document = parseDocument(text, { schema: 'failsafe', uniqueKeys: false });
  const { person, name, powers } = line;
  const added = { person, ...(name === undefined ? {} : { name }), powers };
  if (isSeq(document.get('people', true))) document.addIn(['people'], added);
  else document.set('people', [added]);
  return document.toString({ lineWidth: 0 });
};

/** Finds this person's key only. Others who have a power to sign for do that later. */
const only =
  (person: string, signer: Signer): SignerOf =>
  (who) =>
    who === person ? ok(signer) : err(usage('key-missing', `the key of ${who} is not at hand`, 'sign later', who));

/** Writes a person into build.yaml, unless they are listed already. */
const draftWith = (workshop: Workshop, line: PersonLine): Outcome<void> => {
  const text = hasDraft(workshop.place) ? readDraftText(workshop.place) : ok('');
  if (!text.ok) return text;
  const { build, faults } = readBuildFile(text.value, stateFiles.draft);
  const [first] = faults;
  if (build === undefined)
    return err(first ?? usage('build-unreadable', 'build.yaml cannot be read', 'mend it', stateFiles.draft));
  const isListed = build.people.some(({ person }) => person === line.person);
  return isListed ? ok(undefined) : writeDraft(workshop.place, withPerson(text.value, line));
};

/** Lists a person in build.yaml, and takes the change in. */
export const listPerson = (
  workshop: Workshop,
  line: PersonLine,
  by: string,
  signerOf: SignerOf,
): Outcome<readonly string[]> => {
  const written = draftWith(workshop, line);
  return written.ok ? takeInBuild(workshop.openState, by, signerOf) : written;
};

/**
 * A person joins a build that has begun: listed in build.yaml by somebody who is known and, where they sign, introduced by them with a key.
 * @param newcomer absent for a helper or an adviser, who has no key.
 */
export const addPerson = (
  workshop: Workshop,
  line: PersonLine,
  newcomer: Newcomer | undefined,
  by: string,
  signerOf: SignerOf,
): Outcome<Signer | undefined> => {
  const listed = listPerson(workshop, line, by, signerOf);
  if (!listed.ok) return listed;
  if (newcomer === undefined) return ok(undefined);
  const signer = signerOf(by);
  return signer.ok ? introduce(workshop, newcomer, { by, signer: signer.value }) : signer;
};

/** Introduces a person who is listed in the draft, and takes the draft in, signed by themselves. */
const introduceListed = (workshop: Workshop, newcomer: Newcomer): Outcome<Signer> => {
  const signer = introduce(workshop, newcomer);
  if (!signer.ok) return signer;
  const taken = takeInBuild(workshop.openState, newcomer.person, only(newcomer.person, signer.value));
  return taken.ok ? signer : taken;
};

/** Introduces a person whose earlier key was lost and for whom nobody can sign. They sign for what build.yaml gives them themselves. */
export const introduceAlone = (workshop: Workshop, newcomer: Newcomer, line: PersonLine): Outcome<Signer> => {
  const closed = workshop.closed();
  if (closed) return err(closed);
  const written = draftWith(workshop, line);
  return written.ok ? introduceListed(workshop, newcomer) : written;
};

/** Makes sure that build.yaml lists the person as a builder: in a new file, or added to the one that exists. */
const draftFor = (workshop: Workshop, newcomer: Newcomer, gates: readonly string[]): Outcome<void> => {
  if (!hasDraft(workshop.place)) return writeDraft(workshop.place, firstBuild(newcomer, gates));
  const text = readDraftText(workshop.place);
  if (!text.ok) return text;
  const { build } = readBuildFile(text.value, stateFiles.draft);
  // faults of the file are reported when it is taken in
  if (build === undefined || build.people.some(({ person }) => person === newcomer.person)) return ok(undefined);
  const { person, name } = newcomer;
  const line: PersonLine = { person, ...(name === undefined ? {} : { name }), powers: ['builder'] };
  return writeDraft(workshop.place, withPerson(text.value, line));
};

/**
 * Begins a new build with its first person: a build.yaml in which they are the builder, their key, and an entry that takes the
 * build.yaml in. If the power goes between these, the next command takes the draft in, so that nobody is left with a key and no
 * power.
 * @param gates of the build, in their order; a build.yaml that exists already keeps its own.
 */
export const beginBuild = (workshop: Workshop, newcomer: Newcomer, gates: readonly string[] = []): Outcome<Signer> => {
  if (workshop.state().entries > 0)
    return err(
      usage('build-begun', 'this build has its first person already', 'another is added with: dryfit person add'),
    );
  const closed = workshop.closed();
  if (closed) return err(closed);
  const fit = newcomerFault(newcomer);
  if (!fit.ok) return fit;
  const written = draftFor(workshop, newcomer, gates);
  return written.ok ? introduceListed(workshop, newcomer) : written;
};

/**
 * A known person signs, with the key that they have, for the powers that build.yaml gives them. Gives the powers that are in
 * force from now on. A changed build.yaml is taken in first, and taking it in signs for it. Code `nothing-owed`.
 */
export const signFor = (workshop: Workshop, person: string, signerOf: SignerOf): Outcome<readonly Power[]> => {
  const before = powersOf(workshop.state(), person);
  const draft = takeInBuild(workshop.openState, person, signerOf);
  if (!draft.ok) return draft;
  const owed = powersOwed(workshop.state(), person);
  const signer = owed.length === 0 ? undefined : signerOf(person);
  const entered = signer?.ok === true ? enterKey(workshop, { person, accepts: owed }, atHand(signer.value)) : signer;
  if (entered?.ok === false) return entered;
  const signed = powersOf(workshop.state(), person).filter((power) => wantsSignature(power) && !before.includes(power));
  return signed.length > 0
    ? ok(signed)
    : err(usage('nothing-owed', `${person} has nothing to sign for`, 'build.yaml gives the powers'));
};

/**
 * Keeps a key for the case that a person's own is lost. The private half goes into a file that they choose, under a passphrase,
 * and is on the disk before the line that names the public half. Codes `file-there`, `file-inside`, `disk-…`, those of keys.
 */
export const keepRecovery = (workshop: Workshop, owner: Owner, path: string, signerOf: SignerOf): Outcome<Signer> => {
  const closed = workshop.closed();
  if (closed) return err(closed);
  const signer = signerOf(owner.person);
  if (!signer.ok) return signer;
  const made = newKeyAt(workshop.place, path, owner);
  return made.ok ? enterRecovery(workshop, made.value, { by: owner.person, signer: signer.value }) : made;
};
