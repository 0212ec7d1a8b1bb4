import { stringify } from 'yaml';
import { nameOf } from '../build/state.ts';
import { bad, good, usage, type Outcome } from '../fault/fault.ts';
import type { Power } from '../job/around.ts';
import { lockKey } from '../signing/envelope.ts';
import { writeKeyFile } from '../signing/openssh.ts';
import { newSecret, type SecretKey } from '../signing/secret.ts';
import { makeSigner, type Signer } from '../signing/signer.ts';
import { ownKeys, scriptedKeys, writeKeyFileOf } from '../store/key-files.ts';
import { inState, stateFiles } from '../store/layout.ts';
import { readText } from '../store/read-file.ts';
import { writeFile } from '../store/write-file.ts';
import { isPerson } from '../proof/line-shape.ts';
import { takeInDraft } from './draft.ts';
import type { Place } from './place.ts';
import type { Workshop } from './workshop.ts';

/** Somebody who is to have a key in this build. */
export interface Newcomer {
  readonly person: string;
  readonly name?: string;
  /** Empty or absent: the key has none. Another person's key on this machine always has one. */
  readonly passphrase?: string;
  /** Powers of the kind that wants their own signature, accepted by signing. */
  readonly accepts?: readonly Power[];
  /** A key of their own, brought along; else a new one is made and kept here. */
  readonly secret?: SecretKey;
}

const longestName = 200;

const newcomerFault = (newcomer: Newcomer): Outcome<true> => {
  if (!isPerson(newcomer.person))
    return bad(usage('person-id', `'${newcomer.person}' is no person's id`, 'use a to z, 0 to 9 and -'));
  return (newcomer.name ?? '').length > longestName
    ? bad(usage('value-unreadable', 'that name is too long', 'give a shorter one'))
    : good(true);
};

const keyText = (place: Place, secret: SecretKey, { person, passphrase }: Newcomer): string =>
  passphrase === undefined || passphrase === ''
    ? writeKeyFile(secret, person)
    : lockKey(secret, passphrase, place.random);

/** Keeps a private key where only its person reads it: in their own folder, or for a rehearsal inside its state. */
export const keepKey = (place: Place, secret: SecretKey, newcomer: Newcomer, scripted: boolean): Outcome<void> =>
  writeKeyFileOf(
    place.disk,
    scripted ? scriptedKeys(place.state) : ownKeys(place.config),
    newcomer.person,
    keyText(place, secret, newcomer),
  );

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
  const secret = newcomer.secret ?? newSecret(workshop.place.random);
  const kept = newcomer.secret
    ? good(undefined)
    : keepKey(workshop.place, secret, newcomer, scripted || workshop.state().scripted);
  return kept.ok ? keyLine(workshop, newcomer, makeSigner(secret), introducer, scripted) : kept;
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

/** The first person of a new build: their key, and a build.yaml in which they are the builder, taken in at once. */
export const beginBuild = (workshop: Workshop, newcomer: Newcomer): Outcome<Signer> => {
  if (workshop.state().entries > 0)
    return bad(
      usage('build-begun', 'this build has its first person already', 'another is added with: dryfit person add'),
    );
  const signer = introduce(workshop, newcomer);
  if (!signer.ok) return signer;
  const written = hasDraft(workshop) ? good(undefined) : writeDraft(workshop, firstBuild(newcomer));
  if (!written.ok) return written;
  const taken = takeInDraft(workshop.desk, newcomer.person, () => signer);
  return taken.ok ? signer : taken;
};

export const shownName = (workshop: Workshop, person: string): string => nameOf(workshop.state(), person) ?? person;
