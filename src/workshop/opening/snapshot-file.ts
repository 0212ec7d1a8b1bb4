import { restoreLaid, serialize, serializeAfter } from '../../aircraft/snapshot.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { FaultError, wrong } from '../../fault/fault.ts';
import type { Disk } from '../../store/disk.ts';
import { onDisk } from '../../store/disk-fault.ts';
import {
  isSame,
  keepMore,
  keepPieces,
  keptPath,
  fileNamesIn,
  readAt,
  type SnapshotFile,
} from '../../store/opening-files.ts';
import type { OpenState } from '../open-state.ts';
import type { Workplace } from '../place.ts';
import type { Contents, SnapshotRead } from './snapshot-read.ts';

/*
 * The snapshot in the cache folder: the lines of `serialize` with nothing between them, and a list of contents behind them. The lines of a
 * job are read when the job is first needed, so that opening a build of years takes no longer than opening a new one. A later snapshot adds
 * the lines that have changed and a list of contents of its own, which names the others where they are. When more of the file is out of use
 * than in use, it is written anew.
 */

const pathOf = ({ cache, disk, state }: Workplace): string => keptPath(cache, disk.real(state), 'snapshot');

const bytesAt = (disk: Disk, fd: number, path: string, from: number, length: number): Buffer => {
  const bytes = readAt(disk, fd, from, length);
  if (bytes !== undefined) return bytes;
  throw new FaultError(
    wrong('snapshot-short', 'the snapshot ends too early', 'delete this file; nothing is lost', path),
  );
};

/** Up to this size, in bytes, a snapshot is read whole, so that a cache folder that fails later fails nobody. */
const readWhole = 32 * 1024 * 1024;

const takeFrom = (
  disk: Disk,
  fd: number,
  path: string,
  { from, head, facts }: SnapshotFile,
): Omit<SnapshotRead, 'release'> & { readonly state: BuildState } => {
  const whole = facts.size <= readWhole ? bytesAt(disk, fd, path, 0, facts.size) : undefined;
  const bytes = (start: number, length: number): Buffer =>
    whole === undefined ? bytesAt(disk, fd, path, start, length) : whole.subarray(start, start + length);
  const contents = JSON.parse(bytes(from, head).toString('utf8')) as Contents;
  const line = (number: number): Buffer => bytes(contents.starts[number] ?? from, contents.lengths[number] ?? 0);
  return { contents, line, ...restoreLaid((number) => line(number).toString('utf8')) };
};

/** The build of the snapshot, if the file is the one that was written then. Throws what the disk throws. */
export const readSnapshot = (
  place: Workplace,
  file: SnapshotFile,
): { readonly state: BuildState; readonly read: SnapshotRead } | undefined => {
  const { disk } = place;
  const path = pathOf(place);
  const fd = disk.open(path, 'read');
  const release = (): void => void onDisk(path, () => disk.close(fd));
  try {
    if (isSame(disk.facts(fd), file.facts)) {
      const { state, ...read } = takeFrom(disk, fd, path, file);
      return { state, read: { ...read, release } };
    }
  } catch (error) {
    release();
    throw error;
  }
  release();
  return undefined;
};

/** What of the contents does not depend on where the lines are. */
const known = ({ place, state, heads, watched }: OpenState): Omit<Contents, 'starts' | 'lengths'> => ({
  entries: state.entries,
  heads: [...heads.values()],
  sizes: Object.fromEntries(
    fileNamesIn(place.disk, place.state).files.map((name) => [name, watched.get(name)?.size ?? 0]),
  ),
});

/** The lines one after the other, those of the snapshot before copied, and the contents. @param lengths is filled while they are written */
function* wholeFile(openState: OpenState, lengths: number[]): Generator<Uint8Array> {
  const { state, snapshotRead } = openState;
  for (const line of snapshotRead ? serializeAfter(state, snapshotRead.laid) : serialize(state)) {
    const bytes = typeof line === 'number' ? snapshotRead?.line(line) : Buffer.from(line, 'utf8');
    lengths.push(bytes?.length ?? 0);
    if (bytes) yield bytes;
  }
  const starts: number[] = [];
  let at = 0;
  for (const length of lengths) {
    starts.push(at);
    at += length;
  }
  yield Buffer.from(JSON.stringify({ ...known(openState), starts, lengths }), 'utf8');
}

const writeWhole = (openState: OpenState): SnapshotFile | undefined => {
  const { place, state } = openState;
  const lengths: number[] = [];
  const facts = keepPieces(place.disk, pathOf(place), wholeFile(openState, lengths));
  const from = lengths.reduce((sum, length) => sum + length, 0);
  return facts && { entries: state.entries, from, head: facts.size - from, facts };
};

/** Adds what has changed to the snapshot file. */
const addChanged = (openState: OpenState, before: SnapshotFile, read: SnapshotRead): SnapshotFile | undefined => {
  const { place, state } = openState;
  const [pieces, starts, lengths]: [Buffer[], number[], number[]] = [[], [], []];
  let end = before.facts.size;
  for (const line of serializeAfter(state, read.laid)) {
    if (typeof line === 'number') {
      starts.push(read.contents.starts[line] ?? 0);
      lengths.push(read.contents.lengths[line] ?? 0);
      continue;
    }
    const bytes = Buffer.from(line, 'utf8');
    pieces.push(bytes);
    starts.push(end);
    lengths.push(bytes.length);
    end += bytes.length;
  }
  const contents = Buffer.from(JSON.stringify({ ...known(openState), starts, lengths }), 'utf8');
  const facts = keepMore(place.disk, pathOf(place), before.facts, Buffer.concat([...pieces, contents]));
  return facts && { entries: state.entries, from: end, head: contents.length, facts };
};

/** True where more of the file is out of use than in use. A small file is not worth writing anew. */
const isMostlyOld = ({ facts }: SnapshotFile, { contents }: SnapshotRead): boolean =>
  facts.size > 1_000_000 + 2 * contents.lengths.reduce((sum, length) => sum + length, 0);

/** Writes the build of an open state; `undefined` where the cache folder cannot be written. */
export const writeSnapshot = (openState: OpenState): SnapshotFile | undefined => {
  const { snapshot, snapshotRead } = openState;
  const added =
    snapshot && snapshotRead && !isMostlyOld(snapshot, snapshotRead)
      ? addChanged(openState, snapshot, snapshotRead)
      : undefined;
  return added ?? writeWhole(openState);
};
