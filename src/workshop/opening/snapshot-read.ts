import type { Laid } from '../../aircraft/snapshot.ts';
import type { Link } from '../../proof/chain.ts';

/** The list of contents of a snapshot; see `snapshot-file.ts`. */
export interface Contents {
  readonly entries: number;
  readonly heads: readonly Link[];
  /** For each journal file, how many of its bytes the snapshot includes. */
  readonly sizes: Readonly<Record<string, number>>;
  /** Where each line begins, in bytes. */
  readonly starts: readonly number[];
  /** The length of each line, in bytes. */
  readonly lengths: readonly number[];
}

/** An open snapshot, from which jobs are read. */
export interface SnapshotRead {
  readonly contents: Contents;
  readonly laid: Laid;
  /** The bytes of a line by its number. Throws what the disk throws. */
  readonly line: (number: number) => Uint8Array;
  /** Closes the file. */
  readonly release: () => void;
}
