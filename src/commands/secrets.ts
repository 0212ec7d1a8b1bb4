import { holderOf } from '../aircraft/keys.ts';
import { asUsage, err, ok, usage, type Outcome } from '../fault/fault.ts';
import { readKeyFileAt } from '../store/key-files.ts';
import { findKey, fingerprintOf, openKey } from '../workshop/keys/open-key.ts';
import type { Newcomer } from '../workshop/keys/key-lines.ts';
import type { BroughtKey } from '../workshop/keys/own-keys.ts';
import { askSecret } from './ask.ts';
import { fromHere } from './folders.ts';
import type { OpenedWorkshop } from './open.ts';
import type { Call } from './spec.ts';

/** Asks for a new passphrase. At a terminal it is typed twice, since it is not shown. */
export const newPassphrase = async (call: Call, person: string, whose = 'the key of '): Promise<Outcome<string>> => {
  const { streams } = call.host;
  const first = await askSecret(streams, `a passphrase for ${whose}${person}: `);
  if (!first.ok || streams.stdin.isTTY !== true) return first;
  const again = await askSecret(streams, 'once more: ');
  if (!again.ok) return again;
  return first.value === again.value
    ? first
    : err(usage('passphrase-differs', 'the two passphrases differ', 'begin again'));
};

/** The key in a file of a person's own: a private key, locked or not, or the public half of a key in their ssh-agent. */
export const keyFromFile = async (
  call: Call,
  opened: OpenedWorkshop,
  person: string,
  typed: string | undefined,
  whose = '',
): Promise<Outcome<BroughtKey | undefined>> => {
  if (typed === undefined) return ok(undefined);
  const { place } = opened;
  const path = fromHere(call.host.env, typed);
  const text = asUsage(readKeyFileAt(place.disk, path));
  if (!text.ok) return text;
  const key = findKey(place, text.value);
  if (!key.ok) return err({ ...key.fault, where: key.fault.where ?? typed });
  const other = holderOf(opened.workshop.state(), fingerprintOf(key.value));
  if (other !== undefined && other !== person)
    return err(usage('key-taken', `this is the key of ${other}`, `bring one of ${person}'s own`, typed));
  const isLocked = key.value.kind === 'locked';
  const passphrase = isLocked ? await askSecret(call.host.streams, `passphrase of ${whose}${person}: `) : ok(undefined);
  if (!passphrase.ok) return passphrase;
  const signer = openKey(place, key.value, person, passphrase.value);
  return signer.ok ? ok({ signer: signer.value, key: key.value }) : signer;
};

/**
 * A person with their key: one that they bring in a file, or a new one made here.
 * @param isOwn whether it is this machine's own person. The place of their key is remembered, and they decide whether it has a passphrase;
 * anybody else's new key always has one.
 */
export const withOpenKey = async (
  call: Call,
  opened: OpenedWorkshop,
  newcomer: Newcomer,
  file: string | undefined,
  isOwn: boolean,
): Promise<Outcome<Newcomer>> => {
  const brought = await keyFromFile(call, opened, newcomer.person, file);
  if (!brought.ok) return brought;
  if (brought.value) return ok({ ...newcomer, brought: brought.value, ...(isOwn ? { stays: true } : {}) });
  const passphrase = isOwn && !call.flag('passphrase') ? ok('') : await newPassphrase(call, newcomer.person);
  return passphrase.ok ? ok({ ...newcomer, passphrase: passphrase.value }) : passphrase;
};
