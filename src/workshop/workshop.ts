import type { BuildState } from '../build/state.ts';
import { bad, good, type Fault, type Outcome } from '../fault/fault.ts';
import type { Taken } from '../job/entry.ts';
import type { Link } from '../proof/chain.ts';
import { notice, onDisk, type Notice } from '../store/disk-fault.ts';
import type { Act, Done } from './act.ts';
import { writeLine, type Desk, type Draft, type Pen } from './desk.ts';
import { openDesk, refreshSigners, type Opened } from './opening/open-desk.ts';
import { keepOpening } from './opening/opening.ts';
import type { Place } from './place.ts';
import { owedRecords, writeRecord } from './records/records.ts';
import type { SignerOf } from './keys/signers.ts';
import { submitAct, tryAct } from './submit.ts';

/** A state folder that is open: what is known of the build, and the one way to enter something. */
export interface Workshop {
  readonly place: Place;
  readonly desk: Desk;
  readonly state: () => BuildState;
  /** What was found or mended on opening. */
  readonly notices: () => readonly Notice[];
  /** Why nothing may be written, where that is so. */
  readonly closed: () => Fault | undefined;
  readonly submit: (act: Act, signerOf: SignerOf) => Outcome<Done>;
  /** Decides without entering. */
  readonly tryAct: (act: Act) => Outcome<Taken>;
  /** A line of the build's own (a key); `allowed_signers` follows it. */
  readonly enter: (draft: Draft, pen: Pen) => Outcome<Link>;
  /** May be called again. Never throws. */
  readonly close: () => void;
}

/** Records that a kill left unwritten, or whose signer's key was not at hand; tried once for each session that writes. */
const writeOwed = (desk: Desk, signerOf: SignerOf): void => {
  const jobs = owedRecords(desk);
  if (jobs === undefined) return;
  const owed: string[] = [];
  for (const job of jobs) {
    const written = writeRecord(desk, job, signerOf);
    if (!written.ok) owed.push(job.id);
    desk.notices.push(
      written.ok
        ? notice('record-written', `the record of ${job.id} was owed and is written`, written.value)
        : notice('record-owed', `the record of ${job.id} is owed: ${written.fault.what}`),
    );
  }
  desk.owed = owed;
};

const workshopOf = (place: Place, { desk, lock }: Opened): Workshop => {
  let hasLookedForOwed = false;
  let isClosed = false;
  const lookForOwed = (signerOf: SignerOf): void => {
    if (!hasLookedForOwed && desk.appender && !desk.closed) writeOwed(desk, signerOf);
    hasLookedForOwed = true;
  };
  return {
    place,
    desk,
    state: () => desk.state,
    notices: () => desk.notices,
    closed: () => desk.closed,
    submit: (act, signerOf) => {
      // With several writers a record must rest on a line that has seen them all: one of our own, which this act writes.
      if (desk.heads.size < 2) lookForOwed(signerOf);
      const done = submitAct(desk, act, signerOf);
      if (done.ok) lookForOwed(signerOf);
      return done;
    },
    tryAct: (act) => tryAct(desk, act),
    enter: (draft, pen) => {
      const link = writeLine(desk, draft, pen);
      if (!link.ok) return link;
      const signers = refreshSigners(desk);
      return signers.ok ? link : bad(signers.fault);
    },
    close: () => {
      if (isClosed) return;
      isClosed = true;
      desk.appender?.close();
      // it spares the next opening time, and no more: whatever the disk says of it, this session has ended well
      onDisk(place.state, () => keepOpening(desk));
      desk.release?.();
      lock?.release();
    },
  };
};

/**
 * Opens a state folder. To write, the folder is made where there is none, a torn tail is set aside, and one process holds the
 * lock; a second one opens it for reading and says so. Faults: the disk. Damage is no fault here: it closes the desk (`closed`).
 */
export const openWorkshop = (place: Place, mode: 'read' | 'write'): Outcome<Workshop> => {
  const opened = openDesk(place, mode);
  return opened.ok ? good(workshopOf(place, opened.value)) : opened;
};
