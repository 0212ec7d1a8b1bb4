import stringWidth from 'string-width';
import { once } from '../fault/memo.ts';

/** Characters that are one column wide everywhere and never join their neighbours: nearly all that is ever measured. */
const plain =
  /^[ -~\u00a1-\u00a8\u00aa-\u00ac\u00af-\u02ff\u2010-\u2027\u2190-\u2193\u2200-\u22ff\u2500-\u25a9\u25c6\u25c7\u25c9\u25cb\u25cc\u25cf\u2713]*$/;

/** Columns that a text takes in a terminal. */
export const widthOf = (text: string): number => (plain.test(text) ? text.length : stringWidth(text));

// A segmenter takes milliseconds to make, and most text never needs it.
const segmenter = once(() => new Intl.Segmenter());

/** The characters of a text as a person counts them. */
export const graphemes = (text: string): readonly string[] =>
  plain.test(text) ? Array.from(text) : Array.from(segmenter().segment(text), ({ segment }) => segment);

/** As much of the text as fits into `width` columns, from its beginning. */
export const fittingHead = (text: string, width: number): string => {
  let taken = '';
  let used = 0;
  for (const piece of graphemes(text)) {
    used += widthOf(piece);
    if (used > width) break;
    taken += piece;
  }
  return taken;
};
