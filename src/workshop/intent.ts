import type { Data, Entry, EntryVerdict } from '../job/entry.ts';
import type { Verb } from '../job/verbs.ts';

/** What somebody wants to enter. The workshop stamps it with the time. */
export interface Intent {
  readonly verb: Verb;
  /** Empty for `start` and for what belongs to the whole build. */
  readonly job: string;
  readonly by: string;
  readonly data: Data;
  /** When it happened, where that is not now; RFC 3339. */
  readonly when?: string;
}

/** An act that was taken: it is on the disk. */
export interface Done {
  /** `WRITER:SEQ` */
  readonly entry: string;
  readonly at: string;
  readonly by: string;
  /** The job it belongs to; for `start`, the new one; empty for the build's own. */
  readonly job: string;
  readonly type: Entry['type'];
  readonly data: Entry['data'];
  readonly verdict?: EntryVerdict;
  /** One line each, for the person. */
  readonly told: readonly string[];
  /** The folder in which a record was written. */
  readonly record?: string;
}
