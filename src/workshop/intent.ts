import type { Data, Entry, EntryVerdict } from '../job/entry.ts';
import type { Verb } from '../job/verbs.ts';

/** What a person wants to enter. The workshop adds the time. */
export interface Intent {
  readonly verb: Verb;
  /** Empty for `start`, and for entries that belong to the whole build. */
  readonly job: string;
  readonly by: string;
  readonly data: Data;
  /** When it happened, in RFC 3339; absent for now. */
  readonly when?: string;
}

/** An entry that was accepted and is on the disk. */
export interface Done {
  /** `WRITER:SEQ` */
  readonly entry: string;
  readonly at: string;
  readonly by: string;
  /** The job that it belongs to; for `start` the new job; empty for the build's own entries. */
  readonly job: string;
  readonly type: Entry['type'];
  readonly data: Entry['data'];
  readonly verdict?: EntryVerdict;
  /** Messages for the person, one line each. */
  readonly told: readonly string[];
  /** The folder in which a record was written. */
  readonly record?: string;
}
