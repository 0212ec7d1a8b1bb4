import { currentKeyOf, recoveryOf } from '../aircraft/keys.ts';
import { peopleOf } from '../aircraft/state.ts';
import { usage } from '../fault/fault.ts';
import { keyFolder, keyPlace } from '../workshop/keys/own-keys.ts';
import { signFor } from '../workshop/keys/people.ts';
import { failed } from './fail.ts';
import { signing, whoEnters, withState, type OpenedWorkshop } from './open.ts';
import { here, passphrase, recovery, replace } from './key-change.ts';
import { printKey } from './print-key.ts';
import type { Call, CommandSpec } from './spec.ts';

const list = (call: Call, opened: OpenedWorkshop): number => {
  const state = opened.workshop.state();
  const folder = keyFolder(opened.place, state.scripted);
  const keys = Object.entries(state.keys).flatMap(([person, known]) => {
    const lies = keyPlace(opened.place, folder, person);
    return known.map(({ key, fingerprint, entry, ended }) => {
      const here = ended === undefined && lies?.fingerprint === fingerprint;
      // A key file that cannot be read may hold any of the person's keys.
      const isMeant = here || (ended === undefined && lies !== undefined && lies.fingerprint === undefined);
      const where = isMeant ? { where: lies.where } : {};
      return { person, fingerprint, key, entry, ...(ended === undefined ? {} : { ended }), here, ...where };
    });
  });
  const kept = peopleOf(state).flatMap((person) => {
    const known = recoveryOf(state, person);
    return known === undefined ? [] : [{ person, fingerprint: known.fingerprint, entry: known.entry }];
  });
  const lines = [
    ...keys.map(({ person, fingerprint, ended, where = 'elsewhere' }) => [
      person,
      fingerprint,
      ended === undefined ? where : `ended by ${ended}`,
    ]),
    ...kept.map(({ person, fingerprint }) => [person, fingerprint, 'for recovery']),
  ];
  if (call.flag('json')) call.print.json({ keys, recovery: kept });
  else if (keys.length === 0) call.print.lines('no keys yet: dryfit person add ID makes the first');
  else call.print.lines(...lines.map((words) => words.join('  ')));
  return 0;
};

/** A person signs for the powers that build.yaml gives them, which puts them in force. */
const accept = async (call: Call, opened: OpenedWorkshop): Promise<number> => {
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const done = await signing(call, opened, (signerOf) => signFor(opened.workshop, by.value, signerOf));
  if (!done.ok) return failed(call, done.fault);
  const key = currentKeyOf(opened.workshop.state(), by.value);
  return printKey(call, by.value, key?.fingerprint ?? '', done.value);
};

export const keyCommand: CommandSpec = {
  name: 'key',
  about: 'the keys that sign',
  usage: [
    'dryfit key',
    'dryfit key accept [--as PERSON]',
    'dryfit key replace PERSON [--new FILE] [--recovery FILE]',
    'dryfit key recovery FILE',
    'dryfit key passphrase [PERSON]',
    'dryfit key here --key FILE [--as PERSON]',
  ],
  options: {
    passphrase: { type: 'boolean', about: 'the new key gets a passphrase' },
    recovery: { type: 'string', value: 'FILE', about: 'the recovery key of a person whose own key is lost' },
    new: { type: 'string', value: 'FILE', about: 'the new key is one of their own: an OpenSSH Ed25519 key file' },
  },
  more: [
    'accept: a person signs for the inspector or designer power that build.yaml gives them; until then it is not in force.',
    'passphrase: another passphrase for the key that lies on this machine; the key stays the same.',
    'here: the key of the person lies in FILE, and is looked for there from now on; a .pub file stands for a key in the ssh-agent.',
    'replace: a new key for a lost one; an inspector or designer is vouched for with their old key, their recovery key, or by another',
    'inspector (--as). Where nobody can vouch, it is a new person: dryfit person add ID --follows PERSON.',
    'recovery: makes a key that signs nothing but one replacement. FILE holds its private half, under a passphrase, to be kept elsewhere;',
    'making another ends the one before.',
  ],
  run: (call) => {
    const [verb, person, ...more] = call.words;
    if (verb === undefined) return withState(call, 'read', (opened) => list(call, opened));
    if (verb === 'accept' && person === undefined) return withState(call, 'write', (opened) => accept(call, opened));
    if (verb === 'here' && person === undefined) return withState(call, 'read', (opened) => here(call, opened));
    if (verb === 'passphrase' && more.length === 0)
      return withState(call, 'read', (opened) => passphrase(call, opened, person));
    if (verb === 'recovery' && more.length === 0)
      return withState(call, 'write', (opened) => recovery(call, opened, person));
    if (verb === 'replace' && more.length === 0)
      return withState(call, 'write', (opened) => replace(call, opened, person));
    return failed(call, usage('word-extra', `key ${call.words.join(' ')} means nothing`, 'see: dryfit key --help'));
  },
};
