import { wantsSignature } from '../job/surroundings.ts';
import { keysOf } from '../aircraft/keys.ts';
import { nameOf, type BuildState } from '../aircraft/state.ts';
import { usage, type Outcome } from '../fault/fault.ts';
import type { PersonLine } from '../aircraft/file.ts';
import type { Signer } from '../signing/signer.ts';
import { introduce, introduceAlone, listPerson } from '../workshop/keys/people.ts';
import { failed } from './fail.ts';
import { signing, type OpenedWorkshop } from './open.ts';
import { withOpenKey } from './secrets.ts';
import type { Call } from './spec.ts';

/** The line of the new person in build.yaml, with the powers of the person whom they follow. */
const lineFor = (call: Call, state: BuildState, person: string, followed: string): PersonLine => {
  const name = call.text('name') ?? nameOf(state, followed);
  const before = state.file.people.find((line) => line.person === followed);
  return { person, powers: before?.powers ?? [], ...(name === undefined ? {} : { name }) };
};

/**
 * A person whose key is lost, and for whom nobody can vouch, goes on as a new person who follows the old one. With `--as` somebody known
 * signs for them. Without it nobody does, which is what a builder who works alone has to do. Either way they are marked as new.
 */
export const addFollower = async (
  call: Call,
  opened: OpenedWorkshop,
  person: string,
  followed: string,
): Promise<number> => {
  const { workshop } = opened;
  const state = workshop.state();
  if (keysOf(state, followed).length === 0)
    return failed(call, usage('unknown-id', `no person '${followed}' has a key here`, 'see: dryfit person'));
  if (keysOf(state, person).length > 0)
    return failed(call, usage('person-known', `${person} has a key here already`, 'choose a new id'));
  const line = lineFor(call, state, person, followed);
  const accepts = line.powers.filter(wantsSignature);
  const by = call.text('as');
  const named = { person, follows: followed, accepts, ...(line.name === undefined ? {} : { name: line.name }) };
  const newcomer = await withOpenKey(call, opened, named, call.text('key'), by === undefined);
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
