import { inCausalOrder } from '../build/order.ts';
import { emptyBuild, type BuildState } from '../build/state.ts';
import { bad, good, type Fault, type Outcome } from '../fault/fault.ts';
import type { Taken } from '../job/entry.ts';
import type { Link } from '../proof/chain.ts';
import { beginState } from '../store/begin-state.ts';
import { notice, type Notice } from '../store/disk-fault.ts';
import { readJournal, type JournalRead } from '../store/journal-read.ts';
import { inState, stateFiles } from '../store/layout.ts';
import { takeLock, type Lock } from '../store/lock.ts';
import { openOwnAppender } from '../store/own-appender.ts';
import { realProcesses } from '../store/processes.ts';
import { readText } from '../store/read-file.ts';
import { setTornAside, tornNotice } from '../store/torn.ts';
import { writeFile } from '../store/write-file.ts';
import { realState } from '../store/writers.ts';
import type { Act, Done } from './act.ts';
import { runClock } from './clock.ts';
import { writeLine, type Desk, type Draft, type Pen } from './desk.ts';
import { fold, keyReader } from './fold.ts';
import { shelfOf } from './library.ts';
import type { Place } from './place.ts';
import { owedRecords, writeRecord } from './records.ts';
import type { SignerOf } from './signers.ts';
import { submitAct, tryAct } from './submit.ts';
import { signersText } from './texts.ts';

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
  readonly close: () => void;
}

/** Bytes; a build has a handful of people. */
const largestSigners = 1024 * 1024;

const emptyRead: JournalRead = { files: [], unread: [] };

const deskOf = (place: Place): Desk => ({
  place,
  clock: runClock(place),
  shelf: shelfOf(place.disk, place.state),
  read: keyReader(),
  heads: new Map(),
  notices: [],
  state: emptyBuild,
});

/** Folds what was read; damage, or a line that cannot be believed, closes the desk for writing and loses nothing before it. */
const takeIn = (desk: Desk, read: JournalRead): void => {
  const links = inCausalOrder(read.files.map((file) => file.links));
  const folded = fold(links, { library: desk.shelf, read: desk.read });
  desk.state = folded.state;
  for (const link of links.slice(0, folded.taken)) desk.heads.set(link.line.writer, link);
  const last = links[folded.taken - 1];
  if (last) desk.last = last;
  const closed = read.damage ?? folded.fault;
  if (closed) desk.closed = closed;
  for (const name of read.unread)
    desk.notices.push(notice('journal-unread', 'this is no journal file, and is not read', name));
};

const readOnly = (place: Place): Outcome<Desk> => {
  const desk = deskOf(place);
  const isThere = place.disk.look(place.state) !== undefined;
  const read = isThere ? readJournal(place.disk, place.state) : good(emptyRead);
  if (!read.ok) return read;
  takeIn(desk, read.value);
  for (const file of read.value.files) if (file.torn) desk.notices.push(tornNotice(file));
  return good(desk);
};

/** `allowed_signers` is rebuilt from the journal wherever it is missing or behind. */
const refreshSigners = (desk: Desk): Outcome<void> => {
  const { disk, state } = desk.place;
  const path = inState(state, stateFiles.allowedSigners);
  const text = signersText(desk.state, desk.read);
  const now = readText(disk, path, { where: stateFiles.allowedSigners, limit: largestSigners });
  if (text === '' || (now.ok && now.value === text)) return good(undefined);
  return writeFile(disk, path, text, { where: stateFiles.allowedSigners });
};

const openPen = (place: Place, desk: Desk, read: JournalRead): Outcome<void> => {
  const { disk, state, config, random } = place;
  const aside = setTornAside(disk, state, read);
  if (!aside.ok) return aside;
  takeIn(desk, aside.value.read);
  desk.notices.push(...aside.value.notices);
  const appender = openOwnAppender({ disk, state, config, random }, aside.value.read);
  if (!appender.ok) return appender;
  desk.appender = appender.value;
  desk.notices.push(...appender.value.notices);
  return desk.closed ? good(undefined) : refreshSigners(desk);
};

interface Opened {
  readonly desk: Desk;
  readonly lock?: Lock;
}

/** Somebody else writes here: everything can be looked at, nothing entered, and every act says so. */
const lockedOut = (place: Place, why: Fault): Outcome<Opened> => {
  const desk = readOnly(place);
  if (!desk.ok) return desk;
  desk.value.closed ??= why;
  return good({ desk: desk.value });
};

const toWrite = (place: Place): Outcome<Opened> => {
  const begun = beginState(place.disk, place.state);
  if (!begun.ok) return place.disk.look(place.state) === undefined ? begun : lockedOut(place, begun.fault);
  const real = realState(place.disk, place.state);
  if (!real.ok) return real;
  const lock = takeLock({ disk: place.disk, cache: place.cache, realState: real.value, processes: realProcesses });
  if (!lock.ok) return lockedOut(place, lock.fault);
  const read = readJournal(place.disk, place.state);
  const desk = deskOf(place);
  desk.notices.push(...lock.value.notices);
  const pen = read.ok ? openPen(place, desk, read.value) : read;
  if (pen.ok) return good({ desk, lock: lock.value });
  lock.value.release();
  return pen;
};

/** Records that a kill left unwritten, or whose signer's key was not at hand; tried once for each session that writes. */
const writeOwed = (desk: Desk, signerOf: SignerOf): void => {
  for (const job of owedRecords(desk)) {
    const written = writeRecord(desk, job, signerOf);
    desk.notices.push(
      written.ok
        ? notice('record-written', `the record of ${job.id} was owed and is written`, written.value)
        : notice('record-owed', `the record of ${job.id} is owed: ${written.fault.what}`),
    );
  }
};

const workshopOf = (place: Place, { desk, lock }: Opened): Workshop => {
  let hasLookedForOwed = false;
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
      desk.appender?.close();
      lock?.release();
    },
  };
};

/**
 * Opens a state folder. To write, the folder is made where there is none, a torn tail is set aside, and one process holds the
 * lock; a second one opens it for reading and says so. Faults: the disk. Damage is no fault here: it closes the desk (`closed`).
 */
export const openWorkshop = (place: Place, mode: 'read' | 'write'): Outcome<Workshop> => {
  const opened = mode === 'write' ? toWrite(place) : readOnly(place);
  if (!opened.ok) return opened;
  return good(workshopOf(place, 'desk' in opened.value ? opened.value : { desk: opened.value }));
};
