import { currentKeyOf, recoveryOf } from '../aircraft/keys.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import type { Signer } from '../signing/signer.ts';
import { changePassphrase, keyLiesHere } from '../workshop/keys/own-keys.ts';
import { introduce, keepRecovery } from '../workshop/keys/people.ts';
import { askSecret } from './ask.ts';
import { failed } from './fail.ts';
import { fromHere } from './folders.ts';
import { signing, whoEnters, type OpenedWorkshop } from './open.ts';
import { printKey } from './print-key.ts';
import { keyFromFile, newPassphrase, withOpenKey } from './secrets.ts';
import type { Call } from './spec.ts';

/** Who vouches for the new key of a person: their recovery key signs for it, or whoever enters it. */
const voucher = async (call: Call, opened: OpenedWorkshop, person: string): Promise<Outcome<Voucher>> => {
  const file = call.text('recovery');
  if (file === undefined) {
    const by = whoEnters(opened);
    return by.ok ? ok({ by: by.value }) : by;
  }
  const brought = await keyFromFile(call, opened, person, file, 'the recovery key of ');
  if (!brought.ok) return brought;
  const signer = brought.value?.signer;
  const known = recoveryOf(opened.workshop.state(), person);
  return signer !== undefined && known?.fingerprint === signer.fingerprint
    ? ok({ by: person, recovery: signer })
    : err(
        usage(
          'key-unknown',
          `this is not the recovery key of ${person}, or it is spent`,
          'bring the file that dryfit key recovery made last; without it another inspector vouches',
          file,
        ),
      );
};

interface Voucher {
  readonly by: string;
  /** Absent: they sign with their own key. */
  readonly recovery?: Signer;
}

/** Whether it is this machine's own person, whose key here need have no passphrase. */
const isOwn = (opened: OpenedWorkshop, person: string): boolean => (opened.person() ?? person) === person;

/** Replaces the key of a person. The old key, a recovery key, or whoever enters it signs for the new one. */
export const replace = async (call: Call, opened: OpenedWorkshop, person: string | undefined): Promise<number> => {
  const { workshop } = opened;
  const known = person === undefined ? undefined : currentKeyOf(workshop.state(), person);
  if (person === undefined || known === undefined)
    return failed(call, usage('key-missing', `${person ?? 'nobody'} has no key to replace`, 'see: dryfit key'));
  const vouched = await voucher(call, opened, person);
  if (!vouched.ok) return failed(call, vouched.fault);
  const { by, recovery } = vouched.value;
  const next = await withOpenKey(call, opened, { person }, call.text('new'), isOwn(opened, person));
  if (!next.ok) return failed(call, next.fault);
  const spends = recovery === undefined ? {} : { recovery: recovery.fingerprint };
  const done = await signing(call, opened, (signerOf) => {
    const signer = recovery === undefined ? signerOf(by) : ok(recovery);
    if (!signer.ok) return signer;
    return introduce(workshop, { ...next.value, ...spends, replaces: known.fingerprint }, { by, signer: signer.value });
  });
  return done.ok ? printKey(call, person, done.value.fingerprint) : failed(call, done.fault);
};

/** Changes the passphrase of a key. The key stays the same, so nothing is written in the journal. */
export const passphrase = async (call: Call, opened: OpenedWorkshop, named: string | undefined): Promise<number> => {
  const by = named === undefined ? whoEnters(opened) : ok(named);
  if (!by.ok) return failed(call, by.fault);
  const { workshop } = opened;
  const locked = changePassphrase(workshop, by.value, undefined, undefined);
  const isLocked = !locked.ok && locked.fault.code === 'passphrase-wanted';
  if (!locked.ok && !isLocked) return failed(call, locked.fault);
  const before = isLocked ? await askSecret(call.host.streams, `passphrase of ${by.value}: `) : ok(undefined);
  if (!before.ok) return failed(call, before.fault);
  const opens = changePassphrase(workshop, by.value, before.value, undefined);
  if (!opens.ok) return failed(call, opens.fault);
  const after = await newPassphrase(call, by.value);
  if (!after.ok) return failed(call, after.fault);
  const done = changePassphrase(workshop, by.value, before.value, after.value);
  return done.ok ? printKey(call, by.value, done.value.publicKey.fingerprint) : failed(call, done.fault);
};

/** Makes a recovery key in a file, to be kept away from this machine in case the person's own key is lost. */
export const recovery = async (call: Call, opened: OpenedWorkshop, file: string | undefined): Promise<number> => {
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  if (file === undefined)
    return failed(call, usage('word-missing', 'no file is named', 'write: dryfit key recovery FILE'));
  const passphrase = await newPassphrase(call, by.value, 'the recovery key of ');
  if (!passphrase.ok) return failed(call, passphrase.fault);
  const owner = { person: by.value, passphrase: passphrase.value };
  const path = fromHere(call.host.env, file);
  const done = await signing(call, opened, (signerOf) => keepRecovery(opened.workshop, owner, path, signerOf));
  if (!done.ok) return failed(call, done.fault);
  const { fingerprint } = done.value;
  if (call.flag('json')) call.print.json({ person: by.value, recovery: fingerprint, file: path });
  else {
    call.print.lines(`${by.value} keeps ${fingerprint} for recovery`);
    call.print.note(`note: lay ${file} away from this machine, and its passphrase elsewhere`);
  }
  return 0;
};

/** Remembers the file in which a person's key is. */
export const here = async (call: Call, opened: OpenedWorkshop): Promise<number> => {
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const brought = await keyFromFile(call, opened, by.value, call.text('key'));
  if (!brought.ok) return failed(call, brought.fault);
  if (brought.value === undefined)
    return failed(call, usage('value-missing', 'no key is named', 'say where it lies: --key FILE'));
  const done = keyLiesHere(opened.workshop, by.value, brought.value);
  return done.ok ? printKey(call, by.value, done.value.fingerprint) : failed(call, done.fault);
};
