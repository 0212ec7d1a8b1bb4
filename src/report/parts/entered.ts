import { refusedWords } from '../../job/breach.ts';
import type { RecordTry } from '../../record/parts/reading.ts';
import type { RecordRefused } from '../../record/refused.ts';
import type { RecordStruck } from '../../record/shapes.ts';
import { open, verdictMark } from '../marks.ts';
import { instantText, type Naming } from '../people.ts';
import type { Run } from '../sheet.ts';

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

/** What a rule said against something that was done all the same: `out of order: went along the edge; counts for nothing`. */
export const refusedText = (refused: RecordRefused | undefined): string | undefined =>
  refused &&
  [
    `${refusedWords(refused.codes)}: ${refused.reason}`,
    refused.accepted === undefined ? 'counts for nothing' : `accepted by entry ${refused.accepted}`,
  ].join('; ');

/** The verdict on a value. A value that a rule refused has no tick, whatever its limits say, until a disposition has accepted it. */
export const verdictOn = ({ verdict, refused }: Pick<RecordTry, 'verdict' | 'refused'>): readonly Run[] =>
  verdict?.startsWith('within') === true && refused !== undefined && refused.accepted === undefined
    ? [open(`${verdict}, not counted`)]
    : verdictMark(verdict);

export const triesText = (allowed: number | undefined): string | undefined =>
  allowed === undefined ? undefined : `at most ${allowed}`;
