import type { RefusalCode } from '../fault/codes.ts';
import type { CalculatedBy } from './verb-spec.ts';
import type { JobVerb } from './verbs.ts';

/** Who entered something, and when. `when` is the time that rules use; it equals `at` unless the person gave another time. */
export interface Stamp {
  readonly entry: string;
  readonly at: string;
  readonly when: string;
  readonly by: string;
  /** The clock was in doubt at that time. */
  readonly doubtful?: true;
}

/** What a correction struck of an entry. It stays, with the entry's own time and person. `entry` is the entry that was corrected. */
export interface Struck extends Stamp {
  /** The type of that entry. */
  readonly type: string;
  /** What was entered, and what replaces it, each in one line. */
  readonly value: string;
  readonly right: string;
  readonly calculated?: CalculatedBy;
  /** The place or the tool that it is about, for an entry that belongs to no job. */
  readonly about?: string;
  /** The time that the correction gave, where it was the time that was wrong. RFC 3339. */
  readonly rightWhen?: string;
  /** Why it was struck; then by whom and when. */
  readonly reason: string;
  readonly struckBy: string;
  readonly struckAt: string;
  /** The entry of the correction. */
  readonly struckEntry: string;
}

/**
 * Something that a rule refused and that had been done all the same, so it was entered with `done`. It satisfies nothing until a disposition
 * accepts it, and the nonconformance that it raises ends with a disposition alone.
 */
export interface Breach extends Stamp {
  readonly verb: JobVerb;
  /** The id by which a disposition names it: of a reading, a step, a batch or a sample. */
  readonly on: string;
  readonly step: string;
  /** Counted from 1, where it is about one fastener. */
  readonly fastener?: number;
  /** Where it is about one value of a reading: its position, and which value of the position it is, from 1. */
  readonly position?: string;
  readonly n?: number;
  /** Where it is about a batch or its sample: the batch, and the step where it was mixed. */
  readonly batch?: string;
  readonly mix?: string;
  /** The people named as helping. */
  readonly with: readonly string[];
  /** Every code that would have refused it. */
  readonly codes: readonly RefusalCode[];
  /** Why it was done all the same. */
  readonly reason: string;
  /** The entry of the disposition that accepted it as it is. From then on it counts. */
  readonly accepted?: string;
  /** The entry that set the work aside (rework, scrap, undo). */
  readonly superseded?: string;
}

/** Marks what a rule refused and no disposition has accepted: it is kept and shown, and satisfies nothing. */
export interface Pending {
  readonly pending?: true;
}
