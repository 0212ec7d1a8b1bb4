import { serialize, restore } from '../../aircraft/snapshot.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { FaultError, wrong } from '../../fault/fault.ts';
import type { Link } from '../../proof/chain.ts';
import type { Disk } from '../../store/disk.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { isSame, keepRaw, keptPath, fileNamesIn, readAt, type SnapshotFile } from '../../store/opening-files.ts';
import type { OpenState } from '../open-state.ts';
import type { Workplace } from '../place.ts';

/*
 * The snapshot in the cache folder: one line of contents, then the lines of `serialize` with nothing between them. The lines of a
 * job are read when the job is first needed, so that opening a build of years takes no longer than opening a new one.
 */

/** The first line of the file. */
export interface Contents {
  readonly entries: number;
  readonly heads: readonly Link[];
  /** For each journal file, how many of its bytes the snapshot includes. */
  readonly sizes: Readonly<Record<string, number>>;
  /** The length of each line after this one, in bytes. */
  readonly lengths: readonly number[];
}

export interface SnapshotRead {
  readonly contents: Contents;
  readonly state: BuildState;
  /** Closes the file, from which jobs are read until then. */
  readonly release: () => void;
}

const pathOf = ({ cache, disk, state }: Workplace): string => keptPath(cache, disk.real(state), 'snapshot');

/** @param from in bytes, as is `length`. */
const textAt = (disk: Disk, fd: number, path: string, from: number, length: number): string => {
  const bytes = readAt(disk, fd, from, length);
  if (bytes !== undefined) return bytes.toString('utf8');
  throw new FaultError(
    wrong('snapshot-short', 'the snapshot ends too early', 'delete this file; nothing is lost', path),
  );
};

const takeFrom = (disk: Disk, fd: number, path: string, head: number): Omit<SnapshotRead, 'release'> => {
  const contents = JSON.parse(textAt(disk, fd, path, 0, head)) as Contents;
  const starts: number[] = [];
  let at = head;
  for (const length of contents.lengths) {
    starts.push(at);
    at += length;
  }
  const line = (number: number): string => textAt(disk, fd, path, starts[number] ?? at, contents.lengths[number] ?? 0);
  return { contents, state: restore(line) };
};

/** The build of the snapshot, if the file is the one that was written then. Throws what the disk throws. */
export const readSnapshot = (place: Workplace, { facts, head }: SnapshotFile): SnapshotRead | undefined => {
  const { disk } = place;
  const path = pathOf(place);
  const fd = disk.open(path, 'read');
  const release = (): void => void onDisk(path, () => disk.close(fd));
  try {
    if (isSame(disk.facts(fd), facts)) return { ...takeFrom(disk, fd, path, head), release };
  } catch (error) {
    release();
    throw error;
  }
  release();
  return undefined;
};

/** Writes the build of an open state; `undefined` where the cache folder cannot be written. */
export const writeSnapshot = ({ place, state, heads, watched }: OpenState): SnapshotFile | undefined => {
  const { disk } = place;
  const lines = serialize(state).map((line) => Buffer.from(line, 'utf8'));
  const names = fileNamesIn(disk, place.state).files;
  const contents: Contents = {
    entries: state.entries,
    heads: [...heads.values()],
    sizes: Object.fromEntries(names.map((name) => [name, watched.get(name)?.size ?? 0])),
    lengths: lines.map(({ length }) => length),
  };
  const head = Buffer.from(`${JSON.stringify(contents)}\n`, 'utf8');
  const facts = keepRaw(disk, pathOf(place), Buffer.concat([head, ...lines]));
  return facts && { entries: state.entries, head: head.length, facts };
};
