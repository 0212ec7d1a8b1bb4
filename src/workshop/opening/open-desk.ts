import { inCausalOrder } from '../../build/order.ts';
import { emptyBuild } from '../../build/state.ts';
import { good, type Fault, type Outcome } from '../../fault/fault.ts';
import { beginState } from '../../store/begin-state.ts';
import type { Facts } from '../../store/disk.ts';
import { notice } from '../../store/disk-fault.ts';
import { readJournal, type JournalRead } from '../../store/journal-read.ts';
import { inState, stateFiles } from '../../store/layout.ts';
import { journalStrays } from '../../store/journal-copies.ts';
import { takeLock, type Lock } from '../../store/lock.ts';
import { factsIn } from '../../store/opening-files.ts';
import { openOwnAppender } from '../../store/own-appender.ts';
import { realProcesses } from '../../store/processes.ts';
import { readText } from '../../store/read-file.ts';
import { firstStray } from '../../store/stray-folders.ts';
import { setTornAside, tornNotice } from '../../store/torn.ts';
import { writeFile } from '../../store/write-file.ts';
import { realState } from '../../store/writers.ts';
import { runClock } from '../clock.ts';
import { foldOptions, type Desk } from '../desk.ts';
import { fold } from './fold.ts';
import { keyReader } from './key-texts.ts';
import { shelfOf } from './library.ts';
import { openAgain } from './opening.ts';
import type { Place } from '../place.ts';
import { goodAhead } from './signature-threads.ts';
import { signersText } from './texts.ts';

/** Bytes; a build has a handful of people. */
const largestSigners = 1024 * 1024;

const emptyRead: JournalRead = { files: [], unread: [] };

const deskOf = (place: Place): Desk => {
  const watched = new Map<string, Facts>();
  const watch = (path: string): void => {
    const facts = factsIn(place.disk, place.state, path);
    if (facts !== undefined) watched.set(path, facts);
  };
  return {
    place,
    clock: runClock(place),
    shelf: shelfOf(place.disk, place.state, watch),
    read: keyReader(),
    heads: new Map(),
    notices: [],
    watched,
    isWhole: true,
    isKept: false,
    state: emptyBuild,
  };
};

/** Folds what was read; damage, or a line that cannot be believed, closes the desk for writing and loses nothing before it. */
const takeIn = (desk: Desk, read: JournalRead): void => {
  const links = inCausalOrder(read.files.map((file) => file.links));
  const ahead = goodAhead(links, desk.read, desk.place.threads);
  const folded = fold(links, { library: desk.shelf, read: desk.read, good: ahead });
  desk.state = folded.state;
  for (const link of links.slice(0, folded.taken)) desk.heads.set(link.line.writer, link);
  const last = links[folded.taken - 1];
  if (last) desk.last = last;
  const closed = read.damage ?? folded.fault;
  if (closed) desk.closed = closed;
  for (const { file, facts, torn, ending } of read.files) {
    if (facts !== undefined) desk.watched.set(file, facts);
    desk.isWhole &&= torn === undefined && ending === 'line-feed';
  }
  tellUnread(desk, read.unread);
};

const tellUnread = (desk: Desk, names: readonly string[]): void => {
  for (const { name, what, todo } of journalStrays(desk.place.disk, desk.place.state, names))
    desk.notices.push(notice('journal-unread', `${what}; ${todo}`, name));
};

/** The build as an earlier run left it: what is known of the journal without reading it, or `undefined`. */
const takeAgain = (desk: Desk): JournalRead | undefined => {
  const opening = openAgain(desk.place, foldOptions(desk));
  if (opening === undefined) return undefined;
  const { state, read, heads, last, watched, snapshot, owed, release } = opening;
  desk.state = state;
  for (const head of heads) desk.heads.set(head.line.writer, head);
  for (const [path, facts] of watched) desk.watched.set(path, facts);
  desk.last = last;
  desk.snapshot = snapshot;
  desk.release = release;
  if (owed !== undefined) desk.owed = owed;
  desk.isKept = true;
  tellUnread(desk, read.unread);
  return read;
};

const readOnly = (place: Place): Outcome<Desk> => {
  const desk = deskOf(place);
  if (takeAgain(desk) !== undefined) return good(desk);
  const isThere = place.disk.look(place.state) !== undefined;
  const read = isThere ? readJournal(place.disk, place.state) : good(emptyRead);
  if (!read.ok) return read;
  takeIn(desk, read.value);
  for (const file of read.value.files) if (file.torn) desk.notices.push(tornNotice(file));
  return good(desk);
};

/** `allowed_signers` is rebuilt from the journal wherever it is missing or behind. */
export const refreshSigners = (desk: Desk): Outcome<void> => {
  const { disk, state } = desk.place;
  const path = inState(state, stateFiles.allowedSigners);
  const text = signersText(desk.state, desk.read);
  const now = readText(disk, path, { where: stateFiles.allowedSigners, limit: largestSigners });
  if (text === '' || (now.ok && now.value === text)) return good(undefined);
  return writeFile(disk, path, text, { where: stateFiles.allowedSigners });
};

const takePen = (desk: Desk, read: JournalRead): Outcome<void> => {
  const { disk, state, config, random } = desk.place;
  const appender = openOwnAppender({ disk, state, config, random }, read);
  if (!appender.ok) return appender;
  desk.appender = appender.value;
  desk.notices.push(...appender.value.notices);
  return desk.closed ? good(undefined) : refreshSigners(desk);
};

/** The journal read whole, torn tails set aside. */
const openWhole = (place: Place): Outcome<Desk> => {
  const read = readJournal(place.disk, place.state);
  if (!read.ok) return read;
  const aside = setTornAside(place.disk, place.state, read.value);
  if (!aside.ok) return aside;
  const desk = deskOf(place);
  takeIn(desk, aside.value.read);
  desk.notices.push(...aside.value.notices);
  const pen = takePen(desk, aside.value.read);
  return pen.ok ? good(desk) : pen;
};

/** From where the last session left it; where this machine's writer cannot go on from there, the journal is read whole. */
const openToWrite = (place: Place): Outcome<Desk> => {
  const desk = deskOf(place);
  const read = takeAgain(desk);
  if (read === undefined) return openWhole(place);
  const pen = takePen(desk, read);
  const isSure = pen.ok && !desk.notices.some(({ code }) => code === 'writer-new');
  if (isSure) return good(desk);
  desk.release?.();
  return openWhole(place);
};

export interface Opened {
  readonly desk: Desk;
  readonly lock?: Lock;
}

/** Nothing may be written here: everything can be looked at, nothing entered, and every act says why. */
const lockedOut = (place: Place, why: Fault): Outcome<Opened> => {
  const desk = readOnly(place);
  if (!desk.ok) return desk;
  desk.value.closed ??= why;
  return good({ desk: desk.value });
};

const toWrite = (place: Place): Outcome<Opened> => {
  const stray = firstStray(place.disk, place.state);
  if (!stray.ok || stray.value !== undefined) return stray.ok ? lockedOut(place, stray.value as Fault) : stray;
  const begun = beginState(place.disk, place.state);
  if (!begun.ok) return place.disk.look(place.state) === undefined ? begun : lockedOut(place, begun.fault);
  const real = realState(place.disk, place.state);
  if (!real.ok) return real;
  const lock = takeLock({ disk: place.disk, cache: place.cache, realState: real.value, processes: realProcesses });
  if (!lock.ok) return lockedOut(place, lock.fault);
  const desk = openToWrite(place);
  if (desk.ok) {
    desk.value.notices.unshift(...lock.value.notices);
    return good({ desk: desk.value, lock: lock.value });
  }
  lock.value.release();
  return desk;
};

/** A state folder, to be looked at or to be written in; see `openWorkshop`. */
export const openDesk = (place: Place, mode: 'read' | 'write'): Outcome<Opened> => {
  if (mode === 'write') return toWrite(place);
  const stray = firstStray(place.disk, place.state);
  const desk = stray.ok ? readOnly(place) : stray;
  if (!desk.ok) return desk;
  if (stray.ok && stray.value !== undefined) desk.value.closed ??= stray.value;
  return good({ desk: desk.value });
};
