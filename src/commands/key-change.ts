import { good, usage, type Outcome } from '../fault/fault.ts';
import type { Power } from '../job/around.ts';
import { changePassphrase, keyLiesHere } from '../workshop/own-keys.ts';
import { introduce, type Newcomer } from '../workshop/people.ts';
import { askSecret } from './ask.ts';
import { failed } from './fail.ts';
import { signing, whoEnters, type Opened } from './open.ts';
import { keyFromFile, newPassphrase } from './secrets.ts';
import type { Call } from './spec.ts';
import { own } from '../fault/own.ts';

/** What came of it: the key, or the powers signed for. */
export const told = (call: Call, person: string, fingerprint: string, powers: readonly Power[] = []): number => {
  if (call.flag('json')) call.print.json({ person, key: fingerprint, ...(powers.length === 0 ? {} : { powers }) });
  else if (powers.length === 0) call.print.lines(`${person} signs with ${fingerprint}`);
  else call.print.lines(`${person} has signed for: ${powers.join(', ')}`);
  return 0;
};

/** The key that is to come: one of their own, or a new one here, which has a passphrase where it is another person's. */
const nextKey = async (call: Call, opened: Opened, person: string, isOwn: boolean): Promise<Outcome<Newcomer>> => {
  const brought = await keyFromFile(call, opened, person, call.text('new'));
  if (!brought.ok) return brought;
  if (brought.value) return good({ person, brought: brought.value, stays: isOwn });
  const passphrase = isOwn && !call.flag('passphrase') ? good('') : await newPassphrase(call, person);
  return passphrase.ok ? good({ person, passphrase: passphrase.value }) : passphrase;
};

/** A new key in the place of an old one, signed for with the old one or by whoever enters it. */
export const replace = async (call: Call, opened: Opened, person: string | undefined): Promise<number> => {
  const { workshop } = opened;
  const known =
    person === undefined ? undefined : own(workshop.state().keys, person)?.findLast(({ ended }) => ended === undefined);
  if (person === undefined || known === undefined)
    return failed(call, usage('key-missing', `${person ?? 'nobody'} has no key to replace`, 'see: dryfit key'));
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const next = await nextKey(call, opened, person, person === by.value);
  if (!next.ok) return failed(call, next.fault);
  const done = await signing(call, opened, (signerOf) => {
    const signer = signerOf(by.value);
    if (!signer.ok) return signer;
    return introduce(workshop, { ...next.value, replaces: known.fingerprint }, { by: by.value, signer: signer.value });
  });
  return done.ok ? told(call, person, done.value.fingerprint) : failed(call, done.fault);
};

/** The same key under another passphrase: nothing of it stands in the journal. */
export const passphrase = async (call: Call, opened: Opened, named: string | undefined): Promise<number> => {
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
  return done.ok ? told(call, by.value, done.value.publicKey.fingerprint) : failed(call, done.fault);
};

/** From now on the key of a person is looked for where they say. */
export const here = async (call: Call, opened: Opened): Promise<number> => {
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const brought = await keyFromFile(call, opened, by.value, call.text('key'));
  if (!brought.ok) return failed(call, brought.fault);
  if (brought.value === undefined)
    return failed(call, usage('value-missing', 'no key is named', 'say where it lies: --key FILE'));
  const done = keyLiesHere(opened.workshop, by.value, brought.value);
  return done.ok ? told(call, by.value, done.value.fingerprint) : failed(call, done.fault);
};
