import type { BuildState } from '../aircraft/state.ts';
import { err, ok, type Fault, type Outcome } from '../fault/fault.ts';
import type { Taken } from '../job/entry.ts';
import type { Link } from '../proof/chain.ts';
import { notice, onDisk, type Notice } from '../store/disk-fault.ts';
import type { Intent, Done } from './intent.ts';
import { draftNotices } from './draft.ts';
import { writeLine, type OpenState, type Draft, type LineSigners } from './open-state.ts';
import { openStateFolder, refreshSigners, type OpenedState } from './opening/open.ts';
import { keepOpening } from './opening/cache.ts';
import type { Workplace } from './place.ts';
import { maySignRecords, owedRecords, writeRecord, type RecordSigner } from './records/records.ts';
import type { SignerOf } from './keys/signers.ts';
import { submitAct, tryAct } from './submit.ts';

/** An open state folder: what is known of the build, and the only way to enter something. */
export interface Workshop {
  readonly place: Workplace;
  readonly openState: OpenState;
  readonly state: () => BuildState;
  /** What was found or repaired on opening. */
  readonly notices: () => readonly Notice[];
  /** Why nothing may be written, or `undefined`. */
  readonly closed: () => Fault | undefined;
  readonly submit: (act: Intent, signerOf: SignerOf) => Outcome<Done>;
  /** Decides without entering. */
  readonly tryAct: (act: Intent) => Outcome<Taken>;
  /** Writes a line of the build's own, such as a key, and brings `allowed_signers` up to date. */
  readonly enter: (draft: Draft, signers: LineSigners) => Outcome<Link>;
  /** May be called more than once. Never throws. */
  readonly close: () => void;
}

/** Writes the records that are owed: a kill left them unwritten, or nobody who may sign them wrote the entry. */
const writeOwed = (openState: OpenState, signer: RecordSigner): void => {
  const jobs = owedRecords(openState);
  if (jobs === undefined) return;
  const owed: string[] = [];
  const progress = openState.place.progress?.('records');
  for (const [index, job] of jobs.entries()) {
    progress?.(index + 1, jobs.length);
    const written = writeRecord(openState, job, signer);
    if (!written.ok) owed.push(job.id);
    openState.notices.push(
      written.ok
        ? notice('record-written', `the record of ${job.id} was owed and is written`, written.value)
        : notice('record-owed', `the record of ${job.id} is owed: ${written.fault.what}`),
    );
  }
  openState.owed = owed;
};

const workshopOf = ({ openState, release }: OpenedState): Workshop => {
  const { place } = openState;
  let hasLookedForOwed = false;
  let isClosed = false;
  /** Once in a session, as soon as a builder enters something. */
  const lookForOwed = (signer: RecordSigner): void => {
    if (hasLookedForOwed || !maySignRecords(openState.state, signer.by)) return;
    if (openState.appender && !openState.closed) writeOwed(openState, signer);
    hasLookedForOwed = true;
  };
  return {
    place,
    openState,
    state: () => openState.state,
    notices: () => openState.notices,
    closed: () => openState.closed,
    submit: (act, signerOf) => {
      // With several writers a record must rest on a line that has seen all their lines: one of our own, which this act writes.
      const signer = { by: act.by, signerOf };
      if (openState.heads.size < 2) lookForOwed(signer);
      const done = submitAct(openState, act, signerOf);
      if (done.ok) lookForOwed(signer);
      return done;
    },
    tryAct: (act) => tryAct(openState, act),
    enter: (draft, signers) => {
      const link = writeLine(openState, draft, signers);
      if (!link.ok) return link;
      const refreshed = refreshSigners(openState);
      return refreshed.ok ? link : err(refreshed.fault);
    },
    close: () => {
      if (isClosed) return;
      isClosed = true;
      openState.appender?.close();
      // it only saves the next opening some time, so whatever the disk says, this session has ended well
      onDisk(place.state, () => keepOpening(openState));
      openState.snapshotRead?.release();
      release?.();
    },
  };
};

/**
 * Opens a state folder. To write, a missing folder is made, a torn tail is set aside, and one process holds the lock; a second
 * process opens the folder for reading and says so. Only the disk gives faults here. Damage closes the state for writing
 * (`closed`).
 */
export const openWorkshop = (place: Workplace, mode: 'read' | 'write'): Outcome<Workshop> => {
  const opened = openStateFolder(place, mode);
  if (!opened.ok) return opened;
  const { openState } = opened.value;
  openState.notices.push(...draftNotices(openState));
  return ok(workshopOf(opened.value));
};
