import { introductionFlaw } from '../../aircraft/introductions.ts';
import { err, ok, refusal, type Fault, type Outcome } from '../../fault/fault.ts';
import type { Power } from '../../job/surroundings.ts';
import type { Data } from '../../job/entry.ts';
import type { JsonObject } from '../../proof/canonical.ts';
import type { CoSigner, Signer } from '../../signing/signer.ts';
import type { Pen } from '../open-state.ts';
import { atHand, type BroughtKey, type ReadyKey } from './own-keys.ts';
import type { Workshop } from '../workshop.ts';

/** Somebody who is to have a key in this build. */
export interface Newcomer {
  readonly person: string;
  readonly name?: string;
  /** Empty or absent: the key has none. Another person's key on this machine always has one. */
  readonly passphrase?: string;
  /** Powers of the kind that wants their own signature, accepted by signing. */
  readonly accepts?: readonly Power[];
  /** A key of their own, brought along; else the one that they have here, else a new one. */
  readonly brought?: BroughtKey;
  /** It is this machine's own person, who will want it again: where it lies is remembered. */
  readonly stays?: boolean;
  /** Fingerprint of the key that this one takes the place of. */
  readonly replaces?: string;
  /** Fingerprint of the recovery key that this is done with. */
  readonly recovery?: string;
  /** The person that this one says they are, whose key is lost and for whom nobody can vouch. */
  readonly follows?: string;
}

/** What a `key` entry says. */
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

/** What the journal would never believe is refused before it is written. */
const keyRefusal = (workshop: Workshop, type: string, by: string, data: Data, pen: Pen): Fault | undefined => {
  const also = (pen.others ?? []).map((one) => ({ by: one.by, key: one.signer.fingerprint, sig: '' }));
  const line = { type, by, key: pen.signer.fingerprint, data: data as JsonObject, also };
  const flaw = introductionFlaw(workshop.state(), line);
  return flaw === undefined
    ? undefined
    : refusal('power', `${by} ${flaw}`, 'see who may vouch for a key: dryfit key --help');
};

/** An entry that brings its own key, the private half of which is kept once it is sure that the entry is believed. */
const enterWith = (
  workshop: Workshop,
  type: 'key' | 'recovery',
  by: string,
  data: Data,
  ready: ReadyKey,
  others: readonly CoSigner[],
): Outcome<Signer> => {
  const pen = { signer: ready.signer, others };
  const refused = keyRefusal(workshop, type, by, data, pen);
  if (refused) return err(refused);
  const kept = ready.keep();
  if (!kept.ok) return kept;
  const entered = workshop.enter({ type, by, job: '', at: workshop.openState.clock.at(), data }, pen);
  return entered.ok ? ok(ready.signer) : entered;
};

/** A person introduces a key, or signs with the one that they have for powers that build.yaml gives. */
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

/** Somebody known brings a key that its person has signed for elsewhere. Refused: `power`, where they may not. */
export const enterCarried = (workshop: Workshop, data: Data, carrier: CoSigner): Outcome<Signer> =>
  enterWith(workshop, 'key', carrier.by, data, atHand(carrier.signer), []);

/** A person keeps a key for the day on which theirs is lost. */
export const enterRecovery = (workshop: Workshop, ready: ReadyKey, owner: CoSigner): Outcome<Signer> =>
  enterWith(workshop, 'recovery', owner.by, { person: owner.by, key: ready.signer.publicKey.text }, ready, [owner]);
