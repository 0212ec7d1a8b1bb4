import type { RecordStruck } from '../../record/shapes.ts';
import { instantText, type Naming } from '../people.ts';

/** What the parts of a step say alike of what was entered in them. */

/** Who struck a value, when and why. */
export const struckText = (struck: RecordStruck, naming: Naming): string =>
  `struck by ${naming(struck['struck-by'])}, ${instantText(struck['struck-at'])}: ${struck.reason}`;

/** The entry after which something no longer counts, for a label that already says `Set aside`. */
export const byEntryText = (entry: string | undefined): string | undefined =>
  entry === undefined ? undefined : `by entry ${entry}; it stays on record`;

/** The same as a sentence of its own. */
export const setAsideText = (entry: string | undefined): string | undefined =>
  entry === undefined ? undefined : `set aside ${byEntryText(entry)}`;

export const triesText = (allowed: number | undefined): string | undefined =>
  allowed === undefined ? undefined : `at most ${allowed}`;
