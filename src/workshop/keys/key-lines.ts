import { introductionFlaw } from '../../aircraft/introductions.ts';
import { err, ok, refusal, type Fault, type Outcome } from '../../fault/fault.ts';
import type { Power } from '../../job/surroundings.ts';
import type { Data } from '../../job/entry.ts';
import type { JsonObject } from '../../proof/canonical.ts';
import type { CoSigner, Signer } from '../../signing/signer.ts';
import type { LineSigners } from '../open-state.ts';
import { atHand, type BroughtKey, type ReadyKey } from './own-keys.ts';
import type { Workshop } from '../workshop.ts';

/** A person who is to have a key in this build. */
export interface Newcomer {
  readonly person: string;
  readonly name?: string;
  /** Empty or absent: the key has no passphrase. On another person's machine a key always has one. */
  readonly passphrase?: string;
  /** The powers that take effect only with the person's own signature, and that this key accepts. */
  readonly accepts?: readonly Power[];
  /** The person's own key, if they brought one; else the key that they have here; else a new one. */
  readonly brought?: BroughtKey;
  /** True for this machine's own person: where the key is will be remembered. */
  readonly stays?: boolean;
  /** Fingerprint of the key that this one replaces. */
  readonly replaces?: string;
  /** Fingerprint of the recovery key that signs for this key. */
  readonly recovery?: string;
  /** The person that this one claims to be, whose key is lost and for whom nobody can vouch. */
  readonly follows?: string;
}

/** The data of a `key` entry. */
const keyData = (newcomer: Newcomer, signer: Signer, scripted: boolean): Data => {
  const { person, name, accepts = [], replaces, recovery, follows } = newcomer;
  return {
    person,
    key: signer.publicKey.text,
    ...(name === undefined ? {} : { name }),
    ...(accepts.length === 0 ? {} : { powers: accepts }),
    ...(replaces === undefined ? {} : { replaces }),
    ...(recovery === undefined ? {} : { recovery }),
    ...(follows === undefined ? {} : { follows }),
    ...(scripted ? { scripted: true } : {}),
  };
};

/** An entry that would never be believed is refused before it is written. */
const keyRefusal = (
  workshop: Workshop,
  type: string,
  by: string,
  data: Data,
  signers: LineSigners,
): Fault | undefined => {
  const also = (signers.others ?? []).map((one) => ({ by: one.by, key: one.signer.fingerprint, sig: '' }));
  const line = { type, by, key: signers.signer.fingerprint, data: data as JsonObject, also };
  const flaw = introductionFlaw(workshop.state(), line);
  return flaw === undefined
    ? undefined
    : refusal('power', `${by} ${flaw}`, 'see who may vouch for a key: dryfit key --help');
};

/** Writes an entry that introduces a key. The private key is kept once it is certain that the entry will be believed. */
const enterWith = (
  workshop: Workshop,
  type: 'key' | 'recovery',
  by: string,
  data: Data,
  ready: ReadyKey,
  others: readonly CoSigner[],
): Outcome<Signer> => {
  const signers = { signer: ready.signer, others };
  const refused = keyRefusal(workshop, type, by, data, signers);
  if (refused) return err(refused);
  const kept = ready.keep();
  if (!kept.ok) return kept;
  const entered = workshop.enter({ type, by, job: '', at: workshop.openState.clock.at(), data }, signers);
  return entered.ok ? ok(ready.signer) : entered;
};

/** A person introduces a key, or signs with the key that they have for powers that build.yaml gives them. */
export const enterKey = (
  workshop: Workshop,
  newcomer: Newcomer,
  ready: ReadyKey,
  introducer?: CoSigner,
  scripted = false,
): Outcome<Signer> =>
  enterWith(
    workshop,
    'key',
    newcomer.person,
    keyData(newcomer, ready.signer, scripted),
    ready,
    introducer ? [introducer] : [],
  );

/** A known person enters a key for which its owner has signed elsewhere. Refused with `power`, where they may not. */
export const enterCarried = (workshop: Workshop, data: Data, carrier: CoSigner): Outcome<Signer> =>
  enterWith(workshop, 'key', carrier.by, data, atHand(carrier.signer), []);

/** A person keeps a key for the case that theirs is lost. */
export const enterRecovery = (workshop: Workshop, ready: ReadyKey, owner: CoSigner): Outcome<Signer> =>
  enterWith(workshop, 'recovery', owner.by, { person: owner.by, key: ready.signer.publicKey.text }, ready, [owner]);
