import { escapeText } from '../../fault/escape.ts';
import { fittingHead, graphemes, widthOf } from '../../report/width.ts';
import { wrap } from '../../report/wrap.ts';

/**
 * What a piece of a screen means; `theme.ts` turns it into colour. Besides plain text there are three hues: `order` (in order), `person`
 * (needs a person) and `outside`. Colour only repeats what a word and a mark already say.
 */
export type Style = 'plain' | 'quiet' | 'strong' | 'order' | 'person' | 'outside';

export interface Span {
  readonly text: string;
  readonly style: Style;
}

/** One row of a screen. */
export type Row = readonly Span[];

export const blank: Row = [];

/** Text of dryfit's own, which may hold its marks: it is not escaped. */
export const mark = (text: string, style: Style = 'plain'): Span => ({ text, style });

/** Text that may come from a file or a person: it is escaped, so that nothing in it steers the terminal. */
export const span = (text: string, style: Style = 'plain'): Span => ({ text: escapeText(text), style });

export const row = (text: string, style: Style = 'plain'): Row => [span(text, style)];

export const rowWidth = (spans: Row): number => spans.reduce((sum, { text }) => sum + widthOf(text), 0);

export const rowText = (spans: Row): string => spans.map(({ text }) => text).join('');

/** The end of a text: as much of it as fits into `width` columns. */
export const tail = (text: string, width: number): string => {
  let taken = '';
  let used = 0;
  for (const piece of graphemes(text).toReversed()) {
    used += widthOf(piece);
    if (used > width) break;
    taken = piece + taken;
  }
  return taken;
};

/** The text where it fits into `width` columns, else its beginning and two dots, which every terminal can draw. */
export const cut = (text: string, width: number): string => {
  if (widthOf(text) <= width) return text;
  return width <= 2 ? fittingHead(text, width) : `${fittingHead(text, width - 2)}..`;
};

/** The row, cut where it is wider than `width` columns. */
export const fit = (spans: Row, width: number): Row => {
  const kept: Span[] = [];
  let left = width;
  for (const piece of spans) {
    if (left <= 0) break;
    const needed = widthOf(piece.text);
    if (needed <= left) kept.push(piece);
    else kept.push({ ...piece, text: cut(piece.text, left) });
    left -= needed;
  }
  return kept;
};

/** Two things on one row, the second at its right end. Where there is no room for both, the first is cut. */
export const spreadApart = (left: Row, right: Row, width: number): Row => {
  const end = fit(right, width);
  const room = Math.max(0, width - rowWidth(end) - 1);
  const start = fit(left, room);
  const gap = Math.max(0, width - rowWidth(start) - rowWidth(end));
  return [...start, mark(' '.repeat(gap)), ...end];
};

export const pad = (spans: Row, width: number): Row => {
  const fitted = fit(spans, width);
  const gap = width - rowWidth(fitted);
  return gap > 0 ? [...fitted, mark(' '.repeat(gap))] : fitted;
};

/** Line ends, tabs and runs of spaces are one space each: files break their lines where they like. */
const oneSpaced = (text: string): string => text.trim().replace(/\s+/g, ' ');

/** Text from a file or a person as rows of one style; `hanging` columns indent all but the first. */
export const paragraphRows = (text: string, width: number, style: Style = 'plain', hanging = 0): readonly Row[] =>
  wrap(oneSpaced(escapeText(text)), width, hanging).map((line) => [mark(line, style)]);
