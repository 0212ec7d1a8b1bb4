import { bad, good, usage, type Outcome } from '../fault/fault.ts';
import { readKeyText } from '../signing/key-text.ts';
import type { SecretKey } from '../signing/secret.ts';
import { readKeyFileAt } from '../store/key-files.ts';
import { askSecret } from './ask.ts';
import { fromHere } from './folders.ts';
import type { Opened } from './open.ts';
import type { Call } from './spec.ts';

/** A new passphrase; typed twice where there is a terminal, since it is not seen. */
export const newPassphrase = async (call: Call, person: string): Promise<Outcome<string>> => {
  const { streams } = call.world;
  const first = await askSecret(streams, `a passphrase for the key of ${person}: `);
  if (!first.ok || streams.stdin.isTTY !== true) return first;
  const again = await askSecret(streams, 'once more: ');
  if (!again.ok) return again;
  return first.value === again.value
    ? first
    : bad(usage('passphrase-differs', 'the two passphrases differ', 'begin again'));
};

/** The private key of `--key FILE`, opened. */
export const keyFromFile = async (
  call: Call,
  opened: Opened,
  person: string,
): Promise<Outcome<SecretKey | undefined>> => {
  const path = call.text('key');
  if (path === undefined) return good(undefined);
  const text = readKeyFileAt(opened.place.disk, fromHere(call.world.env, path));
  if (!text.ok) return bad({ ...text.fault, kind: 'usage' });
  const read = readKeyText(text.value);
  if (!read.ok) return read;
  if (read.value.kind === 'open') return good(read.value.secret);
  const passphrase = await askSecret(call.world.streams, `passphrase of ${person}: `);
  return passphrase.ok ? read.value.unlock(passphrase.value) : passphrase;
};
