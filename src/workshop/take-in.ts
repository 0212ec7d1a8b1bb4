import type { Outcome } from '../fault/fault.ts';
import { ok } from '../fault/fault.ts';
import { takeInDraft } from './draft.ts';
import type { SignerOf } from './keys/signers.ts';
import type { OpenState } from './open-state.ts';
import { writeChangedRecords } from './records/changed.ts';

/**
 * Takes in a changed build.yaml, and writes anew the records of the completed jobs whose story it changes: a lot that went into quarantine,
 * a use-by put right.
 */
export const takeInBuild = (
  openState: OpenState,
  by: string,
  signerOf: SignerOf,
  asksForPlan = false,
): Outcome<readonly string[]> => {
  const before = openState.state;
  const taken = takeInDraft(openState, by, signerOf, asksForPlan);
  if (!taken.ok || openState.state === before) return taken;
  return ok([...taken.value, ...writeChangedRecords(openState, before, 'build', { by, signerOf }).told]);
};
