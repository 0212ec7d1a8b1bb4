import { powersOwed } from '../build/state.ts';
import { usage } from '../fault/fault.ts';
import { keyFolder, keyPlace } from '../workshop/own-keys.ts';
import { signFor } from '../workshop/people.ts';
import { failed } from './fail.ts';
import { signing, whoEnters, withState, type Opened } from './open.ts';
import { here, passphrase, replace, told } from './key-change.ts';
import type { Call, CommandSpec } from './spec.ts';

const list = (call: Call, opened: Opened): number => {
  const state = opened.workshop.state();
  const folder = keyFolder(opened.place, state.scripted);
  const keys = Object.entries(state.keys).flatMap(([person, known]) => {
    const lies = keyPlace(opened.place, folder, person);
    return known.map(({ key, fingerprint, entry, ended }) => {
      const here = ended === undefined && lies?.fingerprint === fingerprint;
      const where = here ? { where: lies.where } : {};
      return { person, fingerprint, key, entry, ...(ended === undefined ? {} : { ended }), here, ...where };
    });
  });
  if (call.flag('json')) call.print.json({ keys });
  else if (keys.length === 0) call.print.lines('no keys yet: dryfit person add ID makes the first');
  else
    for (const { person, fingerprint, ended, where } of keys)
      call.print.lines(
        `${person}  ${fingerprint}  ${ended === undefined ? (where ?? 'elsewhere') : `ended by ${ended}`}`,
      );
  return 0;
};

/** A person signs for the powers that build.yaml gives them: from then on they are in force. */
const accept = async (call: Call, opened: Opened): Promise<number> => {
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const owed = powersOwed(opened.workshop.state(), by.value);
  if (owed.length === 0)
    return failed(call, usage('nothing-owed', `${by.value} has nothing to sign for`, 'build.yaml gives the powers'));
  const done = await signing(call, opened, (signerOf) => signFor(opened.workshop, by.value, owed, signerOf));
  return done.ok ? told(call, by.value, done.value.fingerprint, owed) : failed(call, done.fault);
};

export const key: CommandSpec = {
  name: 'key',
  about: 'the keys that sign',
  usage: [
    'dryfit key',
    'dryfit key accept [--as PERSON]',
    'dryfit key replace PERSON [--new FILE]',
    'dryfit key passphrase [PERSON]',
    'dryfit key here --key FILE [--as PERSON]',
  ],
  options: {
    passphrase: { type: 'boolean', about: 'the new key gets a passphrase' },
    new: { type: 'string', value: 'FILE', about: 'the new key is one of their own: an OpenSSH Ed25519 key file' },
  },
  more: [
    'accept: a person signs for the inspector or designer power that build.yaml gives them; until then it is not in force.',
    'passphrase: another passphrase for the key that lies on this machine; the key stays the same.',
    'here: the key of the person lies in FILE, and is looked for there from now on; a .pub file stands for a key in the ssh-agent.',
    'replace: a new key for a lost one; an inspector or designer is vouched for with their old key, or by another inspector.',
  ],
  run: (call) => {
    const [verb, person, ...more] = call.words;
    if (verb === undefined) return withState(call, 'read', (opened) => list(call, opened));
    if (verb === 'accept' && person === undefined) return withState(call, 'write', (opened) => accept(call, opened));
    if (verb === 'here' && person === undefined) return withState(call, 'read', (opened) => here(call, opened));
    if (verb === 'passphrase' && more.length === 0)
      return withState(call, 'read', (opened) => passphrase(call, opened, person));
    if (verb === 'replace' && more.length === 0)
      return withState(call, 'write', (opened) => replace(call, opened, person));
    return failed(call, usage('word-extra', `key ${call.words.join(' ')} means nothing`, 'see: dryfit key --help'));
  },
};
