import { inCausalOrder } from '../../aircraft/order.ts';
import { emptyBuild } from '../../aircraft/state.ts';
import { err, ok, wrong, type Fault, type Outcome } from '../../fault/fault.ts';
import { beginState } from '../../store/begin-state.ts';
import type { Facts } from '../../store/disk.ts';
import { notice } from '../../store/disk-fault.ts';
import { readJournal, type JournalRead } from '../../store/journal-read.ts';
import { inState, journalFile, stateFiles, stateFolders } from '../../store/layout.ts';
import { journalStrays } from '../../store/journal-copies.ts';
import { holdState } from '../../store/held-state.ts';
import { factsIn } from '../../store/opening-files.ts';
import { chooseOwnWriter, openOwnAppender, settleOwnEnd, type OwnWriter } from '../../store/own-appender.ts';
import { readText } from '../../store/read-file.ts';
import { firstStray } from '../../store/stray-folders.ts';
import { journalGone } from '../../store/state-folder.ts';
import { tornNotice } from '../../store/torn.ts';
import { writeFile } from '../../store/write-file.ts';
import { realState } from '../../store/writers.ts';
import { runClock } from '../clock.ts';
import { foldOptions, type OpenState } from '../open-state.ts';
import { fold } from '../journal/fold.ts';
import { publicKeyReader } from '../journal/public-keys.ts';
import { textLibrary } from '../journal/library.ts';
import { openFromSnapshot } from './cache.ts';
import type { Workplace } from '../place.ts';
import { lockState } from '../state-lock.ts';
import { verifyAhead } from '../journal/signature-threads.ts';
import { signersText } from '../journal/signers-text.ts';

/** In bytes; a build has a handful of people. */
const largestSigners = 1024 * 1024;

const emptyRead: JournalRead = { files: [], unread: [] };

const emptyOpenState = (place: Workplace): OpenState => {
  const watched = new Map<string, Facts>();
  const watch = (path: string): void => {
    const facts = factsIn(place.disk, place.state, path);
    if (facts !== undefined) watched.set(path, facts);
  };
  return {
    place,
    clock: runClock(place),
    library: textLibrary(place.disk, place.state, watch),
    read: publicKeyReader(),
    heads: new Map(),
    notices: [],
    watched,
    isWhole: true,
    torn: new Map(),
    isKept: false,
    state: emptyBuild,
  };
};

/** Folds what was read. Damage, or a line that cannot be believed, closes the state for writing; everything before it counts. */
const takeIn = (openState: OpenState, read: JournalRead): void => {
  const links = inCausalOrder(read.files.map((file) => file.links));
  const ahead = verifyAhead(links, openState.read, openState.place.threads);
  const { library, read: readKey, place } = openState;
  const folded = fold(links, { library, read: readKey, isGood: ahead?.isGood, progress: place.progress?.('entries') });
  ahead?.end();
  openState.state = folded.state;
  for (const link of links.slice(0, folded.taken)) openState.heads.set(link.line.writer, link);
  const last = links[folded.taken - 1];
  if (last) openState.last = last;
  const closed = read.damage ?? folded.fault;
  if (closed) openState.closed = closed;
  for (const { file, facts, torn, ending, length } of read.files) {
    if (facts !== undefined) openState.watched.set(file, facts);
    if (torn !== undefined) openState.torn.set(file, length);
    openState.isWhole &&= ending === 'line-feed';
  }
  reportUnread(openState, read.unread);
};

const reportUnread = (openState: OpenState, names: readonly string[]): void => {
  for (const { name, what, todo } of journalStrays(openState.place.disk, openState.place.state, names))
    openState.notices.push(notice('journal-unread', `${what}; ${todo}`, name));
};

const reportTorn = ({ notices }: OpenState, { files }: JournalRead): void => {
  for (const file of files) if (file.torn !== undefined) notices.push(tornNotice(file));
};

/** Takes the build as an earlier run left it. Gives what is known of the journal without reading it, or `undefined`. */
const takeSnapshot = (openState: OpenState): JournalRead | undefined => {
  const opening = openFromSnapshot(openState.place, foldOptions(openState));
  if (opening === undefined) return undefined;
  const { state, read, heads, last, watched, snapshot, owed, snapshotRead } = opening;
  openState.state = state;
  for (const head of heads) openState.heads.set(head.line.writer, head);
  for (const [path, facts] of watched) openState.watched.set(path, facts);
  openState.last = last;
  openState.snapshot = snapshot;
  openState.snapshotRead = snapshotRead;
  if (owed !== undefined) openState.owed = owed;
  for (const { file, torn, length } of read.files) if (torn !== undefined) openState.torn.set(file, length);
  openState.isKept = true;
  reportUnread(openState, read.unread);
  return read;
};

/** A new build is never begun over what is left of one whose journal is gone. Code `journal-gone`. */
const goneFault = ({ disk, state }: Workplace): Fault | undefined => {
  const left = journalGone(disk, state);
  return left === undefined
    ? undefined
    : wrong(
        'journal-gone',
        `the journal of this state is gone: ${left} is here, and journal/ has no file`,
        'Bring journal/ back from another copy; nothing can be read or entered without it',
        stateFolders.journal,
      );
};

const readOnly = (place: Workplace): Outcome<OpenState> => {
  const openState = emptyOpenState(place);
  const kept = takeSnapshot(openState);
  if (kept !== undefined) {
    reportTorn(openState, kept);
    return ok(openState);
  }
  const isThere = place.disk.look(place.state) !== undefined;
  const read = isThere ? readJournal(place.disk, place.state, place.progress?.('journal')) : ok(emptyRead);
  if (!read.ok) return read;
  takeIn(openState, read.value);
  reportTorn(openState, read.value);
  const gone = goneFault(place);
  if (gone !== undefined) openState.closed ??= gone;
  return ok(openState);
};

/** Writes `allowed_signers` from the journal where it is missing or out of date. */
export const refreshSigners = (openState: OpenState): Outcome<void> => {
  const { disk, state } = openState.place;
  const path = inState(state, stateFiles.allowedSigners);
  const text = signersText(openState.state, openState.read);
  const now = readText(disk, path, { where: stateFiles.allowedSigners, limit: largestSigners });
  if (text === '' || (now.ok && now.value === text)) return ok(undefined);
  return writeFile(disk, path, text, { where: stateFiles.allowedSigners });
};

const beginWriting = (openState: OpenState, read: JournalRead, own: OwnWriter): Outcome<void> => {
  openState.appender = openOwnAppender(openState.place, read, own);
  if (own.doubted !== undefined) openState.doubted = own.doubted;
  openState.notices.push(...own.notices);
  return openState.closed ? ok(undefined) : refreshSigners(openState);
};

/** Another machine is beginning a build here, or its file has not arrived whole: a second build beside it could never be joined with it. */
const begunElsewhere = ({ files, build, damage }: JournalRead, own: OwnWriter): Fault | undefined => {
  const other = build === undefined && damage === undefined && files.find(({ writer }) => writer !== own.writer);
  return other
    ? wrong(
        'build-arriving',
        'a build is being begun here by another dryfit, or its journal file has not arrived whole',
        'Wait until it is there, or copy it again; remove the file if you are sure that no build was begun',
        other.file,
      )
    : undefined;
};

/** Reads the whole journal and settles how its files end. */
const openWhole = (place: Workplace, isLocked: boolean): Outcome<OpenState> => {
  const found = readJournal(place.disk, place.state, place.progress?.('journal'));
  if (!found.ok) return found;
  const own = chooseOwnWriter(place, found.value, isLocked);
  if (!own.ok) return own;
  const settled = settleOwnEnd(place, found.value, own.value);
  if (!settled.ok) return settled;
  const { read, notices } = settled.value;
  const openState = emptyOpenState(place);
  takeIn(openState, read);
  const arriving = begunElsewhere(read, own.value);
  if (arriving !== undefined) openState.closed ??= arriving;
  openState.notices.push(...notices);
  const begun = beginWriting(openState, read, own.value);
  return begun.ok ? ok(openState) : begun;
};

/** Continues where the last session ended. Where this machine's writer cannot continue, the whole journal is read. */
const openToWrite = (place: Workplace, isLocked: boolean): Outcome<OpenState> => {
  const openState = emptyOpenState(place);
  const read = takeSnapshot(openState);
  const own = read && chooseOwnWriter(place, read, isLocked);
  const isSure =
    own?.ok === true &&
    own.value.notices.length === 0 &&
    own.value.memory?.unsure !== true &&
    !openState.torn.has(journalFile(own.value.writer)); // an own torn line is set aside first
  if (read !== undefined && isSure && beginWriting(openState, read, own.value).ok) {
    reportTorn(openState, read);
    return ok(openState);
  }
  openState.snapshotRead?.release();
  return openWhole(place, isLocked);
};

export interface OpenedState {
  readonly openState: OpenState;
  /** Gives the state up, so that another process may write in it. */
  readonly release?: () => void;
}

/** Opens a state in which nothing may be written: it can be read, and every attempt to enter something gives the reason. */
const lockedOut = (place: Workplace, why: Fault): Outcome<OpenedState> => {
  const openState = readOnly(place);
  if (!openState.ok) return openState;
  openState.value.closed ??= why;
  return ok({ openState: openState.value });
};

const toWrite = (place: Workplace): Outcome<OpenedState> => {
  const stray = firstStray(place.disk, place.state);
  if (!stray.ok || stray.value !== undefined) return stray.ok ? lockedOut(place, stray.value as Fault) : stray;
  const gone = goneFault(place);
  if (gone !== undefined) return lockedOut(place, gone);
  const begun = beginState(place.disk, place.state);
  if (!begun.ok) return place.disk.look(place.state) === undefined ? begun : lockedOut(place, begun.fault);
  const real = realState(place.disk, place.state);
  if (!real.ok) return real;
  const lock = lockState(place, real.value);
  if (!lock.ok) return lockedOut(place, lock.fault);
  const held = holdState(place.disk, place.state);
  const release = (): void => {
    held.release();
    lock.value.release();
  };
  const opened = openToWrite({ ...place, disk: held.disk, away: held.away }, lock.value.isKept);
  const away = held.away(); // what was read after the folder went away was not the build
  const openState = away === undefined ? opened : err(away);
  if (openState.ok) {
    openState.value.notices.unshift(...lock.value.notices);
    return ok({ openState: openState.value, release });
  }
  release();
  return openState;
};

/** Opens a state folder for reading or writing; see `openWorkshop`. */
export const openStateFolder = (place: Workplace, mode: 'read' | 'write'): Outcome<OpenedState> => {
  if (mode === 'write') return toWrite(place);
  const stray = firstStray(place.disk, place.state);
  const openState = stray.ok ? readOnly(place) : stray;
  if (!openState.ok) return openState;
  if (stray.ok && stray.value !== undefined) openState.value.closed ??= stray.value;
  return ok({ openState: openState.value });
};
