import { isSeq, parseDocument, stringify } from 'yaml';
import { readBuildFile, type PersonLine } from '../build/file.ts';
import { escapeText } from '../fault/escape.ts';
import { bad, good, usage, type Outcome } from '../fault/fault.ts';
import type { Power } from '../job/around.ts';
import type { Signer } from '../signing/signer.ts';
import { inState, stateFiles } from '../store/layout.ts';
import { readText } from '../store/read-file.ts';
import { writeFile } from '../store/write-file.ts';
import { isPerson } from '../proof/line-shape.ts';
import { takeInDraft } from './draft.ts';
import { keyFolder, keyHere, newKey, rememberKey, type BroughtKey } from './own-keys.ts';
import type { Place } from './place.ts';
import type { SignerOf } from './signers.ts';
import type { Workshop } from './workshop.ts';

/** Somebody who is to have a key in this build. */
export interface Newcomer {
  readonly person: string;
  readonly name?: string;
  /** Empty or absent: the key has none. Another person's key on this machine always has one. */
  readonly passphrase?: string;
  /** Powers of the kind that wants their own signature, accepted by signing. */
  readonly accepts?: readonly Power[];
  /** A key of their own, brought along; else the one that they have here, else a new one. */
  readonly brought?: BroughtKey;
  /** It is this machine's own person, who will want it again: where it lies is remembered. */
  readonly stays?: boolean;
  /** Fingerprint of the key that this one takes the place of. */
  readonly replaces?: string;
}

const longestName = 200;

const newcomerFault = (newcomer: Newcomer): Outcome<true> => {
  if (!isPerson(newcomer.person))
    return bad(usage('person-id', `'${newcomer.person}' is no person's id`, 'use a to z, 0 to 9 and -'));
  const { name = '' } = newcomer;
  if (escapeText(name) !== name)
    return bad(usage('value-unreadable', `the name '${name}' holds characters that steer terminals`, 'type it anew'));
  return name.length > longestName
    ? bad(usage('value-unreadable', 'that name is too long', 'give a shorter one'))
    : good(true);
};

/** The key with which a newcomer signs. */
const signerFor = (place: Place, newcomer: Newcomer, scripted: boolean): Outcome<Signer> => {
  const folder = keyFolder(place, scripted);
  const { brought, person, stays } = newcomer;
  if (brought) {
    const kept = stays === true ? rememberKey(place, folder, person, brought) : good(undefined);
    return kept.ok ? good(brought.signer) : kept;
  }
  const here = newcomer.replaces === undefined ? keyHere(place, folder, newcomer) : good(undefined);
  if (!here.ok) return here;
  return here.value ? good(here.value) : newKey(place, folder, newcomer);
};

const keyLine = (
  workshop: Workshop,
  newcomer: Newcomer,
  signer: Signer,
  introducer?: { readonly by: string; readonly signer: Signer },
  scripted = false,
): Outcome<Signer> => {
  const entered = workshop.enter(
    {
      type: 'key',
      by: newcomer.person,
      job: '',
      at: workshop.desk.clock.at(),
      data: {
        person: newcomer.person,
        key: signer.publicKey.text,
        ...(newcomer.name === undefined ? {} : { name: newcomer.name }),
        ...(newcomer.accepts === undefined || newcomer.accepts.length === 0 ? {} : { powers: newcomer.accepts }),
        ...(newcomer.replaces === undefined ? {} : { replaces: newcomer.replaces }),
        ...(scripted ? { scripted: true } : {}),
      },
    },
    { signer, others: introducer ? [introducer] : [] },
  );
  return entered.ok ? good(signer) : entered;
};

/**
 * A person introduces a key: the first of a build by itself, a later one with somebody who is known already.
 * The private key is on the disk before the line that names it.
 */
export const introduce = (
  workshop: Workshop,
  newcomer: Newcomer,
  introducer?: { readonly by: string; readonly signer: Signer },
  scripted = false,
): Outcome<Signer> => {
  const fit = newcomerFault(newcomer);
  if (!fit.ok) return fit;
  const closed = workshop.closed();
  if (closed) return bad(closed);
  const signer = signerFor(workshop.place, newcomer, scripted || workshop.state().scripted);
  return signer.ok ? keyLine(workshop, newcomer, signer.value, introducer, scripted) : signer;
};

/** A build.yaml for somebody who has none yet: themselves as builder, and the usual gates in their usual order (common practice, no source). */
const firstBuild = (newcomer: Newcomer): string =>
  `# The build: edit this file by hand; dryfit takes a change in, signed, before the next entry.\n${stringify({
    aircraft: {},
    gates: ['hull-close', 'cover', 'first-start', 'first-water', 'first-flight'],
    people: [
      { person: newcomer.person, ...(newcomer.name === undefined ? {} : { name: newcomer.name }), powers: ['builder'] },
    ],
    tools: [],
    stock: [],
  })}`;

const hasDraft = (workshop: Workshop): boolean =>
  workshop.place.disk.look(inState(workshop.place.state, stateFiles.draft)) !== undefined;

/** Writes `build.yaml`; it is taken in with the next entry, or at once by `takeInBuild`. */
export const writeDraft = (workshop: Workshop, text: string): Outcome<void> =>
  writeFile(workshop.place.disk, inState(workshop.place.state, stateFiles.draft), text, { where: stateFiles.draft });

export const readDraftText = (workshop: Workshop): Outcome<string> =>
  readText(workshop.place.disk, inState(workshop.place.state, stateFiles.draft), {
    where: stateFiles.draft,
    limit: 8 * 1024 * 1024,
  });

/** build.yaml with one more person; the rest of it, comments included, stays as it was written. */
const withPerson = (text: string, line: PersonLine): string => {
  const document = parseDocument(text, { schema: 'failsafe' });
  const { person, name, powers } = line;
  const added = { person, ...(name === undefined ? {} : { name }), powers };
  if (isSeq(document.get('people', true))) document.addIn(['people'], added);
  else document.set('people', [added]);
  return document.toString({ lineWidth: 0 });
};

/** Lists a person in build.yaml, and takes that in; somebody who is listed already stays as they are. */
export const listPerson = (
  workshop: Workshop,
  line: PersonLine,
  by: string,
  signerOf: SignerOf,
): Outcome<readonly string[]> => {
  const text = hasDraft(workshop) ? readDraftText(workshop) : good('');
  if (!text.ok) return text;
  const { build, faults } = readBuildFile(text.value, stateFiles.draft);
  const [first] = faults;
  if (build === undefined)
    return bad(first ?? usage('build-unreadable', 'build.yaml cannot be read', 'mend it', stateFiles.draft));
  const isListed = build.people.some(({ person }) => person === line.person);
  const written = isListed ? good(undefined) : writeDraft(workshop, withPerson(text.value, line));
  return written.ok ? takeInDraft(workshop.desk, by, signerOf) : written;
};

/** A build.yaml in which somebody is a builder: a new one, or the one that lies there, with them in it. */
const draftFor = (workshop: Workshop, newcomer: Newcomer): Outcome<void> => {
  if (!hasDraft(workshop)) return writeDraft(workshop, firstBuild(newcomer));
  const text = readDraftText(workshop);
  if (!text.ok) return text;
  const { build } = readBuildFile(text.value, stateFiles.draft);
  // what cannot be read is told when it is taken in
  if (build === undefined || build.people.some(({ person }) => person === newcomer.person)) return good(undefined);
  const { person, name } = newcomer;
  const line: PersonLine = { person, ...(name === undefined ? {} : { name }), powers: ['builder'] };
  return writeDraft(workshop, withPerson(text.value, line));
};

/**
 * The first person of a new build: a build.yaml in which they are the builder, their key, and the one taken in with the other. In
 * this order: if the power goes between, the next command takes the draft in, and nobody stands there with a key and no power.
 */
export const beginBuild = (workshop: Workshop, newcomer: Newcomer): Outcome<Signer> => {
  if (workshop.state().entries > 0)
    return bad(
      usage('build-begun', 'this build has its first person already', 'another is added with: dryfit person add'),
    );
  const closed = workshop.closed();
  if (closed) return bad(closed);
  const fit = newcomerFault(newcomer);
  if (!fit.ok) return fit;
  const written = draftFor(workshop, newcomer);
  if (!written.ok) return written;
  const signer = introduce(workshop, newcomer);
  if (!signer.ok) return signer;
  const taken = takeInDraft(workshop.desk, newcomer.person, () => signer);
  return taken.ok ? signer : taken;
};

/** A known person signs for powers that build.yaml gives them, with the key that they have. */
export const signFor = (
  workshop: Workshop,
  person: string,
  powers: readonly Power[],
  signerOf: SignerOf,
): Outcome<Signer> => {
  const draft = takeInDraft(workshop.desk, person, signerOf);
  if (!draft.ok) return draft;
  const signer = signerOf(person);
  return signer.ok ? keyLine(workshop, { person, accepts: powers }, signer.value) : signer;
};
