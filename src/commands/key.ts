import { powersOwed } from '../build/state.ts';
import { good, usage } from '../fault/fault.ts';
import type { Power } from '../job/around.ts';
import { ownKeys, peopleWithKeys, scriptedKeys } from '../store/key-files.ts';
import { changePassphrase, introduce, signFor } from '../workshop/people.ts';
import { failed } from './fail.ts';
import { signing, whoEnters, withState, type Opened } from './open.ts';
import { askSecret } from './ask.ts';
import { newPassphrase } from './secrets.ts';
import type { Call, CommandSpec } from './spec.ts';

const list = (call: Call, opened: Opened): number => {
  const state = opened.workshop.state();
  const { disk } = opened.place;
  const folder = state.scripted ? scriptedKeys(opened.place.state) : ownKeys(opened.place.config);
  const found = peopleWithKeys(disk, folder);
  const here = found.ok ? found.value : [];
  const keys = Object.entries(state.keys).flatMap(([person, known]) =>
    known.map(({ key, fingerprint, entry, ended }) => ({
      person,
      fingerprint,
      key,
      entry,
      ...(ended === undefined ? {} : { ended }),
      here: ended === undefined && here.includes(person),
    })),
  );
  if (call.flag('json')) call.print.json({ keys });
  else if (keys.length === 0) call.print.lines('no keys yet: dryfit person add ID makes the first');
  else
    for (const { person, fingerprint, ended, here: isHere } of keys) {
      const where = ended === undefined ? (isHere ? 'on this machine' : 'elsewhere') : `ended by ${ended}`;
      call.print.lines(`${person}  ${fingerprint}  ${where}`);
    }
  return 0;
};

const told = (call: Call, person: string, fingerprint: string, powers: readonly Power[]): number => {
  if (call.flag('json')) call.print.json({ person, key: fingerprint, ...(powers.length === 0 ? {} : { powers }) });
  else if (powers.length === 0) call.print.lines(`${person} signs with ${fingerprint}`);
  else call.print.lines(`${person} has signed for: ${powers.join(', ')}`);
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

/** A new key in the place of an old one, signed for with the old one or by whoever enters it. */
const replace = async (call: Call, opened: Opened, person: string | undefined): Promise<number> => {
  const { workshop } = opened;
  const known =
    person === undefined ? undefined : workshop.state().keys[person]?.findLast(({ ended }) => ended === undefined);
  if (person === undefined || known === undefined)
    return failed(call, usage('key-missing', `${person ?? 'nobody'} has no key to replace`, 'see: dryfit key'));
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const passphrase = person !== by.value || call.flag('passphrase') ? await newPassphrase(call, person) : good('');
  if (!passphrase.ok) return failed(call, passphrase.fault);
  const done = await signing(call, opened, (signerOf) => {
    const signer = signerOf(by.value);
    if (!signer.ok) return signer;
    const newcomer = { person, passphrase: passphrase.value, replaces: known.fingerprint };
    return introduce(workshop, newcomer, { by: by.value, signer: signer.value });
  });
  return done.ok ? told(call, person, done.value.fingerprint, []) : failed(call, done.fault);
};

/** The same key under another passphrase: nothing of it stands in the journal. */
const passphrase = async (call: Call, opened: Opened, named: string | undefined): Promise<number> => {
  const by = named === undefined ? whoEnters(opened) : good(named);
  if (!by.ok) return failed(call, by.fault);
  const { workshop } = opened;
  const locked = changePassphrase(workshop, by.value, undefined, undefined);
  const isLocked = !locked.ok && locked.fault.code === 'passphrase-wanted';
  if (!locked.ok && !isLocked) return failed(call, locked.fault);
  const before = isLocked ? await askSecret(call.world.streams, `passphrase of ${by.value}: `) : good(undefined);
  if (!before.ok) return failed(call, before.fault);
  const opens = changePassphrase(workshop, by.value, before.value, undefined);
  if (!opens.ok) return failed(call, opens.fault);
  const after = await newPassphrase(call, by.value);
  if (!after.ok) return failed(call, after.fault);
  const done = changePassphrase(workshop, by.value, before.value, after.value);
  return done.ok ? told(call, by.value, done.value.publicKey.fingerprint, []) : failed(call, done.fault);
};

export const key: CommandSpec = {
  name: 'key',
  about: 'the keys that sign',
  usage: [
    'dryfit key',
    'dryfit key accept [--as PERSON]',
    'dryfit key replace PERSON',
    'dryfit key passphrase [PERSON]',
  ],
  options: { passphrase: { type: 'boolean', about: 'the new key gets a passphrase' } },
  more: [
    'accept: a person signs for the inspector or designer power that build.yaml gives them; until then it is not in force.',
    'passphrase: another passphrase for the key that lies on this machine; the key stays the same.',
    'replace: a new key for a lost one; an inspector or designer is vouched for with their old key, or by another inspector.',
  ],
  run: (call) => {
    const [verb, person, ...more] = call.words;
    if (verb === undefined) return withState(call, 'read', (opened) => list(call, opened));
    if (verb === 'accept' && person === undefined) return withState(call, 'write', (opened) => accept(call, opened));
    if (verb === 'passphrase' && more.length === 0)
      return withState(call, 'read', (opened) => passphrase(call, opened, person));
    if (verb === 'replace' && more.length === 0)
      return withState(call, 'write', (opened) => replace(call, opened, person));
    return failed(call, usage('word-extra', `key ${call.words.join(' ')} means nothing`, 'see: dryfit key --help'));
  },
};
