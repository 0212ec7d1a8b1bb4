import { isWiser } from '../../aircraft/snapshot.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { chainReader, type Link } from '../../proof/chain.ts';
import type { Facts } from '../../store/disk.ts';
import { onDisk } from '../../store/disk-fault.ts';
import type { JournalRead, WriterFile } from '../../store/journal-read.ts';
import { journalFile, writerOfFile } from '../../store/layout.ts';
import {
  forget,
  isStill,
  keep,
  keptPath,
  fileNamesIn,
  readKept,
  readRange,
  type SnapshotFile,
  type Watched,
} from '../../store/opening-files.ts';
import type { OpenState } from '../open-state.ts';
import { foldOne, type FoldOptions } from '../journal/fold.ts';
import type { Workplace } from '../place.ts';
import { recordedJobs } from '../records/records.ts';
import { readSnapshot, writeSnapshot } from './snapshot-file.ts';
import type { Contents, SnapshotRead } from './snapshot-read.ts';

/*
 * A shortcut for opening a state without reading its whole journal. A session leaves two things in the cache folder: a snapshot
 * of the build, made now and then, and the facts of all files of the state at the moment when they had been read and verified.
 * While no file has been touched since, the next opening takes the snapshot and reads only the lines after it. Otherwise the
 * whole journal is read. `verify` never uses this.
 */

/** Written whenever a session ends. */
interface Seen {
  readonly program: string;
  /** Every journal file, and every text that the build was read from. */
  readonly files: readonly (readonly [string, Facts])[];
  /** The newest line of each writer. */
  readonly heads: readonly Link[];
  /** The writer of the last line of all. */
  readonly last: string;
  readonly snapshot: SnapshotFile;
  /** The files that end in a torn line, with the length of what is whole, in bytes. */
  readonly torn?: readonly (readonly [string, number])[];
  /** The jobs whose record was owed, and those that had one. */
  readonly records?: { readonly owed: readonly string[]; readonly there: readonly string[] };
}

/** A build as an earlier run left it. */
export interface Opening {
  readonly state: BuildState;
  /** With only the last line of each journal file. */
  readonly read: JournalRead;
  readonly heads: readonly Link[];
  readonly last: Link;
  readonly watched: Watched;
  readonly snapshot: SnapshotFile;
  /** See `owed` in `OpenState`. */
  readonly owed?: readonly string[];
  readonly snapshotRead: SnapshotRead;
}

const parse = (bytes: Buffer): unknown => JSON.parse(bytes.toString('utf8'));

/**
 * The lines after the snapshot, if one writer wrote them all and had seen everything in the snapshot. Otherwise their order is
 * not simply that of the file, and the journal must be read.
 */
const linesBehind = (
  place: Workplace,
  contents: Contents,
  watched: Watched,
  torn: ReadonlyMap<string, number>,
): readonly Link[] | undefined => {
  const grown = fileNamesIn(place.disk, place.state).files.filter(
    (name) => watched.get(name)?.size !== contents.sizes[name],
  );
  const [name] = grown;
  if (name === undefined) return [];
  const writer = writerOfFile(name);
  const [from, to] = [contents.sizes[name] ?? 0, watched.get(name)?.size ?? 0];
  if (grown.length > 1 || from > to || torn.has(name)) return undefined;
  const bytes = readRange(place.disk, place.state, name, from, to);
  const mine = contents.heads.find(({ line }) => line.writer === writer);
  const reader = chainReader(writer, name, mine);
  for (const text of bytes?.toString('utf8').split('\n').slice(0, -1) ?? []) reader.take(text);
  const { links, fault } = reader.chain();
  const seen = links[0]?.line.seen ?? {};
  const sawAll = contents.heads.every(({ line, hash }) => line.writer === writer || seen[line.writer] === hash);
  return fault === undefined && links.length > 0 && sawAll ? links : undefined;
};

/**
 * A journal file with its last line; `undefined` where its torn line can no longer be read.
 * @param whole the length of what is whole, where the file ends in a torn line.
 */
const fileOf = (
  { disk, state }: Workplace,
  head: Link,
  watched: Watched,
  whole: number | undefined,
): WriterFile | undefined => {
  const { writer, seq } = head.line;
  const file = journalFile(writer);
  const facts = watched.get(file);
  const size = facts?.size ?? 0;
  const known = facts === undefined ? {} : { facts };
  const read: WriterFile = {
    writer,
    file,
    links: [head],
    before: seq - 1,
    length: size,
    ending: 'line-feed',
    ...known,
  };
  if (whole === undefined) return read;
  const torn = onDisk(file, () => readRange(disk, state, file, whole, size));
  return torn.ok && torn.value !== undefined ? { ...read, length: whole, torn: torn.value } : undefined;
};

/** Applies the lines after the snapshot. Their signatures were verified when these very bytes were read or written. */
const caughtUp = (state: BuildState, links: readonly Link[], options: FoldOptions): BuildState | undefined => {
  let now = state;
  for (const link of links) {
    const next = foldOne(now, link, { ...options, checked: () => true });
    if (!next.ok) return undefined;
    now = next.value;
  }
  return now;
};

/** The jobs whose record is still owed; not known where a record has disappeared. */
const owedStill = (place: Workplace, { records }: Seen): Pick<Opening, 'owed'> =>
  records !== undefined && recordedJobs(place).join() === records.there.join() ? { owed: records.owed } : {};

const takeSnapshot = (place: Workplace, seen: Seen, options: FoldOptions): Opening | undefined => {
  const watched = new Map(seen.files);
  if (seen.program !== place.program || !isStill(place.disk, place.state, watched)) return undefined;
  const last = seen.heads.find(({ line }) => line.writer === seen.last);
  const owed = owedStill(place, seen);
  const snapshot = readSnapshot(place, seen.snapshot);
  if (snapshot === undefined || last === undefined) return undefined;
  const snapshotRead = snapshot.read;
  const torn = new Map(seen.torn);
  const behind = linesBehind(place, snapshotRead.contents, watched, torn);
  const state = behind && caughtUp(snapshot.state, behind, options);
  const files = seen.heads.flatMap(
    (head) => fileOf(place, head, watched, torn.get(journalFile(head.line.writer))) ?? [],
  );
  if (state === undefined || files.length < seen.heads.length) {
    snapshotRead.release();
    return undefined;
  }
  const { unread } = fileNamesIn(place.disk, place.state);
  const read = { files, unread, build: state.build };
  return { state, read, heads: seen.heads, last, watched, snapshot: seen.snapshot, snapshotRead, ...owed };
};

/** The build as an earlier run left it, if nothing was touched since; else `undefined`, and the journal must be read. */
export const openFromSnapshot = (place: Workplace, options: FoldOptions): Opening | undefined => {
  if (place.program === undefined || place.disk.look(place.state) === undefined) return undefined;
  try {
    const kept = readKept(place.disk, keptPath(place.cache, place.disk.real(place.state), 'seen'));
    return kept === undefined ? undefined : takeSnapshot(place, parse(kept) as Seen, options);
  } catch {
    return undefined; // a damaged cache may cost time but must never prevent an opening
  }
};

/**
 * Whether enough lines follow the snapshot to make a new one. Only what has changed is added to its file, so this is soon: the lines behind
 * it are read at each opening.
 */
const isFarBehind = (entries: number, snapshot: SnapshotFile | undefined): boolean =>
  snapshot === undefined || entries - snapshot.entries >= 32;

const isWiserNow = ({ state, snapshotRead }: OpenState): boolean =>
  snapshotRead !== undefined && isWiser(state, snapshotRead.laid);

/** Where another program has touched a file meanwhile, nothing is kept. */
const leaveOpening = (openState: OpenState): void => {
  const { place, state, heads, last, watched } = openState;
  if (place.program === undefined || last === undefined || !openState.isWhole || openState.closed?.kind === 'wrong')
    return;
  // A file without a whole line has no head by which it could be known again.
  if ([...openState.torn.keys()].some((file) => !heads.has(writerOfFile(file)))) return;
  const seenPath = keptPath(place.cache, place.disk.real(place.state), 'seen');
  if (!isStill(place.disk, place.state, watched)) return forget(place.disk, seenPath);
  const isWorthwhile = isFarBehind(state.entries, openState.snapshot) || isWiserNow(openState);
  if (openState.isKept && !isWorthwhile) return;
  const snapshot = isWorthwhile ? writeSnapshot(openState) : openState.snapshot;
  if (snapshot === undefined) return;
  const seen: Seen = {
    program: place.program,
    files: [...watched],
    heads: [...heads.values()],
    last: last.line.writer,
    snapshot,
    ...(openState.torn.size === 0 ? {} : { torn: [...openState.torn] }),
    ...(openState.owed === undefined ? {} : { records: { owed: openState.owed, there: recordedJobs(place) } }),
  };
  keep(place.disk, seenPath, JSON.stringify(seen));
};

/** Keeps what the next opening needs. Where that fails only time is lost. */
export const keepOpening = (openState: OpenState): void => {
  try {
    leaveOpening(openState);
  } catch {
    // a failing disk is reported where it matters: at the next entry, or at the next opening
  }
};
