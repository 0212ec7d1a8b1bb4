import { asInvitation, carriedData, invitationText, readSigned, type Invitation } from '../aircraft/invitation.ts';
import { currentKeyOf } from '../aircraft/keys.ts';
import { nameOf, powersOwed } from '../aircraft/state.ts';
import { asUsage, err, ok, usage, type Outcome } from '../fault/fault.ts';
import { signingPowers, type Power } from '../job/surroundings.ts';
import type { PublicKey } from '../proof/keys.ts';
import { enterCarried } from '../workshop/keys/key-lines.ts';
import { findKey } from '../workshop/keys/open-key.ts';
import { listPerson } from '../workshop/keys/people.ts';
import { readKeyFileAt } from '../store/key-files.ts';
import { readCarried } from './carried.ts';
import { failed } from './fail.ts';
import { fromHere } from './folders.ts';
import { signing, whoEnters, type OpenedWorkshop } from './open.ts';
import { printKey } from './print-key.ts';
import type { Call } from './spec.ts';

/** The public key in the `.pub` file that the person has sent. */
const publicKeyOf = (call: Call, opened: OpenedWorkshop): Outcome<PublicKey> => {
  const typed = call.text('key');
  if (typed === undefined)
    return err(usage('value-missing', 'no key is named', 'name the .pub file that they sent: --key FILE.pub'));
  const text = asUsage(readKeyFileAt(opened.place.disk, fromHere(call.host.env, typed)));
  if (!text.ok) return text;
  const key = findKey(opened.place, text.value);
  if (!key.ok) return key;
  return key.value.kind === 'agent'
    ? ok(key.value.publicKey)
    : err(usage('key-file', 'this is a private key', 'a person elsewhere sends their .pub file alone', typed));
};

/** What the person is to sign. For somebody who is known already, it is the key that replaces theirs. */
const invitationFor = (
  call: Call,
  opened: OpenedWorkshop,
  person: string,
  powers: readonly Power[],
): Outcome<Invitation> => {
  const state = opened.workshop.state();
  const key = publicKeyOf(call, opened);
  if (!key.ok) return key;
  const replaced = currentKeyOf(state, person);
  if (replaced === undefined && powers.length === 0)
    return err(usage('power-missing', 'no power is given', 'say which: --power POWER'));
  const named = powers.find((power) => !signingPowers.includes(power));
  if (named !== undefined)
    return err(usage('power-unknown', `a ${named} is named and signs nothing`, 'enter them with dryfit person add'));
  const asked = replaced === undefined ? powers : powersOwed(state, person);
  const name = call.text('name');
  return ok({
    v: 1,
    build: state.build,
    person,
    key: key.value.text,
    ...(name === undefined ? {} : { name }),
    ...(asked.length === 0 ? {} : { powers: asked }),
    ...(replaced === undefined ? {} : { replaces: replaced.fingerprint }),
  });
};

/** Prints the invitation that somebody elsewhere is to sign, with the key that they will use. */
export const writeInvitation = (
  call: Call,
  opened: OpenedWorkshop,
  person: string,
  powers: readonly Power[],
): number => {
  if (opened.workshop.state().entries === 0)
    return failed(call, usage('build-empty', 'nobody is there who could invite', 'begin with: dryfit person add ID'));
  const invitation = invitationFor(call, opened, person, powers);
  if (!invitation.ok) return failed(call, invitation.fault);
  call.print.raw(invitationText(invitation.value));
  call.print.note('note: they sign it unchanged with: ssh-keygen -Y sign -n dryfit-entry -f KEY FILE');
  return 0;
};

/** Takes in a signed invitation. Whatever does not fit is refused with a code of its own; then the rules for keys decide. */
export const takeInvitation = async (call: Call, opened: OpenedWorkshop, typed: string): Promise<number> => {
  const { workshop } = opened;
  const carried = readCarried(call, opened, typed, asInvitation);
  if (!carried.ok) return failed(call, carried.fault);
  const { text, signature } = carried.value;
  const signed = readSigned(workshop.state(), text, signature);
  if (!signed.ok) return failed(call, signed.fault);
  const { invitation, key } = signed.value;
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const name = invitation.name ?? nameOf(workshop.state(), invitation.person);
  const line = { person: invitation.person, powers: invitation.powers ?? [], ...(name === undefined ? {} : { name }) };
  const done = await signing(call, opened, (signerOf) => {
    const signer = signerOf(by.value);
    if (!signer.ok) return signer;
    const data = carriedData(invitation, text, signature);
    const entered = enterCarried(workshop, data, { by: by.value, signer: signer.value });
    if (!entered.ok) return entered;
    const listed = listPerson(workshop, line, by.value, signerOf);
    return listed.ok ? entered : listed;
  });
  if (!done.ok) return failed(call, done.fault);
  return printKey(call, invitation.person, key.fingerprint);
};
