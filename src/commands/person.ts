import { proposedGates, readGates } from '../aircraft/gates/list.ts';
import { keysOf } from '../aircraft/keys.ts';
import { nameOf, peopleOf, powersOf, powersOwed, type Followed } from '../aircraft/state.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { allPowers, signingPowers, wantsSignature, type Power } from '../job/surroundings.ts';
import { isPerson } from '../proof/line-shape.ts';
import { addPerson, beginBuild } from '../workshop/keys/people.ts';
import type { Newcomer } from '../workshop/keys/key-lines.ts';
import { failed } from './fail.ts';
import { signing, whoEnters, withState, type OpenedWorkshop } from './open.ts';
import { addFollower } from './person-follows.ts';
import { takeInvitation, writeInvitation } from './person-invite.ts';
import { printKey } from './print-key.ts';
import { withOpenKey } from './secrets.ts';
import type { Call, CommandSpec } from './spec.ts';
import { own } from '../fault/own.ts';

const powersAsked = (call: Call): Outcome<readonly Power[]> => {
  const asked = call.texts('power').flatMap((text) => text.split(','));
  const odd = asked.find((text) => !allPowers.some((power) => power === text));
  if (odd !== undefined)
    return err(usage('power-unknown', `there is no power '${odd}'`, `powers: ${allPowers.join(', ')}`));
  return ok(allPowers.filter((power) => asked.includes(power)));
};

const followsText = (follows: Followed | undefined): string => {
  if (follows === undefined) return '';
  const who =
    follows.introducers.length === 0 ? 'nobody signed for that' : `signed for by ${follows.introducers.join(', ')}`;
  return `; follows ${follows.person}, whose key is lost; ${who}`;
};

const list = (call: Call, opened: OpenedWorkshop): number => {
  const state = opened.workshop.state();
  const people = peopleOf(state).map((person) => ({
    person,
    ...(nameOf(state, person) === undefined ? {} : { name: nameOf(state, person) }),
    powers: powersOf(state, person),
    owed: powersOwed(state, person),
    ...(own(state.following, person) === undefined ? {} : { follows: own(state.following, person) }),
    keys: keysOf(state, person)
      .filter(({ ended }) => ended === undefined)
      .map(({ fingerprint }) => fingerprint),
  }));
  if (call.flag('json')) call.print.json({ people });
  else if (people.length === 0) call.print.lines('nobody yet: dryfit person add ID');
  else
    for (const { person, name, owed, keys, powers: has, follows } of people) {
      const waits = owed.length === 0 ? '' : `; not in force until signed for: ${owed.join(', ')}`;
      call.print.lines(
        `${person}  ${name ?? ''}  ${has.join(', ')}${waits}  ${keys.join(' ') || 'no key'}${followsText(follows)}`,
      );
    }
  return 0;
};

/** Prints the key of a newcomer; a helper or an adviser has none. */
const printAdded = (call: Call, person: string, fingerprint: string | undefined): number => {
  if (fingerprint !== undefined) return printKey(call, person, fingerprint);
  if (call.flag('json')) call.print.json({ person });
  else call.print.lines(`${person} is listed`);
  return 0;
};

const newcomerOf = (call: Call, person: string): Newcomer => {
  const name = call.text('name');
  return { person, ...(name === undefined ? {} : { name }) };
};

const noGates = `the build has no gates yet: list them in build.yaml in their order, such as gates: [${proposedGates.join(', ')}]`;

/** The first person introduces themself, and decides whether their own key has a passphrase. */
const addFirst = async (call: Call, opened: OpenedWorkshop, person: string): Promise<number> => {
  const newcomer = await withOpenKey(call, opened, newcomerOf(call, person), call.text('key'), true);
  if (!newcomer.ok) return failed(call, newcomer.fault);
  const gates = readGates(call.text('gates') ?? '');
  if (!gates.ok) return failed(call, gates.fault);
  const signer = beginBuild(opened.workshop, newcomer.value, gates.value);
  if (!signer.ok) return failed(call, signer.fault);
  const code = printAdded(call, person, signer.value.fingerprint);
  if (opened.workshop.state().file.gates.length === 0 && !call.flag('json')) call.print.lines(noGates);
  return code;
};

const addLater = async (call: Call, opened: OpenedWorkshop, person: string): Promise<number> => {
  const { workshop } = opened;
  if (call.text('gates') !== undefined)
    return failed(call, usage('build-begun', 'this build has begun', 'change its gates in build.yaml'));
  const asked = powersAsked(call);
  if (!asked.ok) return failed(call, asked.fault);
  if (asked.value.length === 0)
    return failed(call, usage('power-missing', 'no power is given', `say which: --power ${allPowers.join('|')}`));
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const accepts = asked.value.filter(wantsSignature);
  const signs = asked.value.some((power) => signingPowers.includes(power));
  if (signs && keysOf(workshop.state(), person).length > 0)
    return failed(call, usage('person-known', `${person} has a key here already`, 'see: dryfit key'));
  const newcomer = signs
    ? await withOpenKey(call, opened, { ...newcomerOf(call, person), accepts }, call.text('key'), false)
    : ok(undefined);
  if (!newcomer.ok) return failed(call, newcomer.fault);
  const name = call.text('name');
  const line = { person, powers: asked.value, ...(name === undefined ? {} : { name }) };
  const done = await signing(call, opened, (signerOf) => addPerson(workshop, line, newcomer.value, by.value, signerOf));
  return done.ok ? printAdded(call, person, done.value?.fingerprint) : failed(call, done.fault);
};

const add = (call: Call, opened: OpenedWorkshop, person: string | undefined): number | Promise<number> => {
  if (person === undefined)
    return failed(call, usage('word-missing', 'no person is named', 'write: dryfit person add ID'));
  if (!isPerson(person))
    return failed(call, usage('person-id', `'${person}' is no person's id`, 'use a to z, 0 to 9 and -'));
  const closed = opened.workshop.closed();
  if (closed) return failed(call, closed);
  const followed = call.text('follows');
  if (followed !== undefined) return addFollower(call, opened, person, followed);
  return opened.workshop.state().entries === 0 ? addFirst(call, opened, person) : addLater(call, opened, person);
};

const asked = (call: Call, opened: OpenedWorkshop, person: string | undefined): number => {
  if (person === undefined || !isPerson(person))
    return failed(call, usage('person-id', 'no person is named whom to invite', 'write: dryfit person invite ID'));
  const powers = powersAsked(call);
  return powers.ok ? writeInvitation(call, opened, person, powers.value) : failed(call, powers.fault);
};

export const personCommand: CommandSpec = {
  name: 'person',
  about: 'who works on the build',
  usage: [
    'dryfit person',
    'dryfit person add ID [--name NAME] [--power POWER …] [--key FILE] [--gates GATE,GATE]',
    'dryfit person invite ID --key FILE.pub [--power POWER …] [--name NAME] > invitation.json',
    'dryfit person add --signed invitation.json',
    'dryfit person add ID --follows PERSON',
  ],
  options: {
    name: { type: 'string', value: 'NAME', about: 'their name, as records print it' },
    power: {
      type: 'string',
      value: 'POWER',
      multiple: true,
      about: `one of ${allPowers.join(', ')}; may stand several times`,
    },
    gates: {
      type: 'string',
      value: 'GATE,GATE',
      about: 'with the first person: the gates of the build, in their order',
    },
    passphrase: { type: 'boolean', about: 'a person wants a passphrase for their own key' },
    signed: { type: 'string', value: 'FILE', about: 'an invitation that its person signed; FILE.sig beside it' },
    follows: {
      type: 'string',
      value: 'PERSON',
      about: 'whom they are, whose key is lost, where nobody can vouch for it',
    },
  },
  more: [
    'The first person introduces themself, as builder. A later one is introduced by whoever enters it (--as), and signs too:',
    'with a key of their own (--key FILE), or a new one on this machine, which always has a passphrase.',
    'FILE is an OpenSSH Ed25519 private key, with a passphrase or without, or the .pub file of one in the ssh-agent. It is not copied:',
    'where the first person has it is remembered on this machine; a later one signs here with --key FILE each time, or elsewhere.',
    'Helpers and advisers are named and have no key.',
    'invite: for a person who is elsewhere. What they are to be here goes into a file, which they sign with plain ssh-keygen and their own',
    'key; add --signed takes it in. For somebody who is known already it is their new key, and whoever takes it in vouches for it.',
    'Whoever lost their key goes on with key replace. Where nobody can vouch for them they are a new person, who follows the old one: with',
    'the same powers, marked here, in records and by verify, and never independent of what the old one did. --as names who signs for them.',
  ],
  run: (call) => {
    const [verb, id, ...more] = call.words;
    if (verb === undefined) return withState(call, 'read', (opened) => list(call, opened));
    if (verb === 'invite' && more.length === 0) return withState(call, 'read', (opened) => asked(call, opened, id));
    const signed = call.text('signed');
    if (verb === 'add' && id === undefined && signed !== undefined)
      return withState(call, 'write', (opened) => takeInvitation(call, opened, signed));
    if (verb !== 'add' || more.length > 0)
      return failed(
        call,
        usage('word-extra', `person ${call.words.join(' ')} means nothing`, 'write: dryfit person add ID'),
      );
    return withState(call, 'found', (opened) => add(call, opened, id));
  },
};
