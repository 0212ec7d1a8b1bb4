import { keysOf } from '../build/keys.ts';
import { nameOf, type BuildState } from '../build/state.ts';
import { good, usage, type Outcome } from '../fault/fault.ts';
import type { PersonLine } from '../build/file.ts';
import type { Signer } from '../signing/signer.ts';
import { introduce, introduceAlone, listPerson } from '../workshop/keys/people.ts';
import type { Newcomer } from '../workshop/keys/key-lines.ts';
import { failed } from './fail.ts';
import { signing, type Opened } from './open.ts';
import { keyFromFile, newPassphrase } from './secrets.ts';
import type { Call } from './spec.ts';

/** What build.yaml is to say of them: what it says of whom they follow. */
const lineFor = (call: Call, state: BuildState, person: string, followed: string): PersonLine => {
  const name = call.text('name') ?? nameOf(state, followed);
  const before = state.file.people.find((line) => line.person === followed);
  return { person, powers: before?.powers ?? [], ...(name === undefined ? {} : { name }) };
};

const keyFor = async (call: Call, opened: Opened, newcomer: Newcomer, isAlone: boolean): Promise<Outcome<Newcomer>> => {
  const brought = await keyFromFile(call, opened, newcomer.person, call.text('key'));
  if (!brought.ok) return brought;
  if (brought.value) return good({ ...newcomer, brought: brought.value, stays: isAlone });
  const passphrase = isAlone && !call.flag('passphrase') ? good('') : await newPassphrase(call, newcomer.person);
  return passphrase.ok ? good({ ...newcomer, passphrase: passphrase.value }) : passphrase;
};

/**
 * A person whose key is lost, and for whom nobody can vouch, goes on as a new one who names the old. With `--as` somebody known signs for
 * them; without it nobody does, which is the way on of a builder who is alone. Marked either way.
 */
export const addFollower = async (call: Call, opened: Opened, person: string, followed: string): Promise<number> => {
  const { workshop } = opened;
  const state = workshop.state();
  if (keysOf(state, followed).length === 0)
    return failed(call, usage('unknown-id', `no person '${followed}' has a key here`, 'see: dryfit person'));
  if (keysOf(state, person).length > 0)
    return failed(call, usage('person-known', `${person} has a key here already`, 'choose a new id'));
  const line = lineFor(call, state, person, followed);
  const accepts = line.powers.filter((power) => power === 'inspector' || power === 'designer');
  const by = call.text('as');
  const named = { person, follows: followed, accepts, ...(line.name === undefined ? {} : { name: line.name }) };
  const newcomer = await keyFor(call, opened, named, by === undefined);
  if (!newcomer.ok) return failed(call, newcomer.fault);
  const done = await signing(call, opened, (signerOf): Outcome<Signer> => {
    if (by === undefined) return introduceAlone(workshop, newcomer.value, line);
    const listed = listPerson(workshop, line, by, signerOf);
    const signer = listed.ok ? signerOf(by) : listed;
    return signer.ok ? introduce(workshop, newcomer.value, { by, signer: signer.value }) : signer;
  });
  if (!done.ok) return failed(call, done.fault);
  const { fingerprint } = done.value;
  if (call.flag('json')) call.print.json({ person, key: fingerprint, follows: followed });
  else
    call.print.lines(
      `${person} signs with ${fingerprint}, and follows ${followed}: marked as a new person from now on`,
    );
  return 0;
};
