import { join } from 'node:path';
import { powersOf, type BuildState } from '../aircraft/state.ts';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { noticeLine } from '../store/disk-fault.ts';
import { peopleWithKeys, ownKeysFolder, scriptedKeys } from '../store/key-files.ts';
import type { Intent, Done } from '../workshop/intent.ts';
import { keyring, type GivenSecrets } from '../workshop/keys/keyring.ts';
import type { SignerOf } from '../workshop/keys/signers.ts';
import { openWorkshop, type Workshop } from '../workshop/workshop.ts';
import { askSecret } from './ask.ts';
import { failed } from './fail.ts';
import { fromHere } from './folders.ts';
import { configurationOf, type Configuration } from './configuration.ts';
import type { Call } from './spec.ts';
import { own } from '../fault/own.ts';

/** An open state, and the keys that can sign in it. */
export interface OpenedWorkshop extends Configuration {
  readonly workshop: Workshop;
  /** Who is signed on, where that is known. */
  readonly person: () => string | undefined;
  readonly signers: (given: GivenSecrets) => SignerOf;
}

const onlyOne = (people: readonly string[]): string | undefined => (people.length === 1 ? people[0] : undefined);

/** Who enters something where `--as` names nobody: the person of the settings, else the only one with a key here, else the only builder. */
const personOf = (call: Call, { place, settings }: Configuration, state: BuildState): string | undefined => {
  const named = call.text('as');
  if (named !== undefined) return named;
  if (settings.person !== undefined && own(state.keys, settings.person)) return settings.person;
  const keys = peopleWithKeys(place.disk, state.scripted ? scriptedKeys(place.state) : ownKeysFolder(place.config));
  const here = keys.ok ? keys.value.filter((person) => own(state.keys, person)) : [];
  return onlyOne(here) ?? onlyOne(here.filter((person) => powersOf(state, person).includes('builder')));
};

const notBegun = (state: string): Fault =>
  usage(
    'build-empty',
    `no build has been begun at ${state}`,
    'name the right folder (--state DIR), or begin one: dryfit person add ID',
  );

/** `found` may make the folder of a new build. `write` in a folder that is not there finds an empty build, and makes nothing. */
type Opening = 'read' | 'write' | 'found';

export const openForCommand = (call: Call, opening: Opening): Outcome<OpenedWorkshop> => {
  const configuration = configurationOf(call);
  if (!configuration.ok) return configuration;
  const { place } = configuration.value;
  const isMissing = opening === 'write' && place.disk.look(place.state) === undefined;
  const workshop = openWorkshop(place, opening === 'read' || isMissing ? 'read' : 'write');
  if (!workshop.ok) return workshop;
  const opened = isMissing ? { ...workshop.value, submit: () => err(notBegun(place.state)) } : workshop.value;
  const { state } = opened;
  const person = (): string | undefined => personOf(call, configuration.value, state());
  const keyFile = call.text('key');
  const ring = keyring(configuration.value.place, state, person);
  const brought = keyFile === undefined ? {} : { keyFile: fromHere(call.host.env, keyFile) };
  return ok({
    ...configuration.value,
    workshop: opened,
    person,
    signers: (given) => ring({ ...brought, ...given }),
  });
};

/** Prints what the workshop found or repaired, from the notice `from` on. Returns how many notices there are. */
export const tellNotices = (call: Call, workshop: Workshop, from = 0): number => {
  const notices = workshop.notices();
  for (const notice of notices.slice(from)) call.print.note(`note: ${noticeLine(notice)}`);
  return notices.length;
};

/** Opens the state, works, and closes the state whatever happens. Notices of the workshop are printed on stderr. */
export const withState = async (
  call: Call,
  opening: Opening,
  work: (opened: OpenedWorkshop) => number | Promise<number>,
): Promise<number> => {
  const opened = openForCommand(call, opening);
  if (!opened.ok) return failed(call, opened.fault);
  const { workshop } = opened.value;
  try {
    const told = tellNotices(call, workshop);
    const code = await work(opened.value);
    tellNotices(call, workshop, told);
    return code;
  } finally {
    workshop.close();
  }
};

const nobody = usage(
  'person-missing',
  'nobody is signed on here',
  'say who enters it (--as PERSON); in a new state introduce yourself first: dryfit person add ID',
);

export const whoEnters = (opened: OpenedWorkshop): Outcome<string> => {
  const person = opened.person();
  return person === undefined ? err(nobody) : ok(person);
};

/** Carries out something that signs, and asks once for each passphrase that it needs. */
export const signing = async <T>(
  call: Call,
  opened: OpenedWorkshop,
  work: (signerOf: SignerOf) => Outcome<T>,
): Promise<Outcome<T>> => {
  const passphrases: Record<string, string> = {};
  for (;;) {
    const done = work(opened.signers({ passphrases }));
    if (done.ok || done.fault.code !== 'passphrase-wanted' || done.fault.where === undefined) return done;
    const person = done.fault.where;
    const secret = await askSecret(call.host.streams, `passphrase of ${person}: `);
    if (!secret.ok) return secret;
    passphrases[person] = secret.value;
  }
};

export const submit = (call: Call, opened: OpenedWorkshop, act: Intent): Promise<Outcome<Done>> =>
  signing(call, opened, (signerOf) => opened.workshop.submit(act, signerOf));

/** The path of a folder or file in the state, for a person to read. */
export const shownPath = (opened: OpenedWorkshop, path: string): string => join(opened.place.state, path);
