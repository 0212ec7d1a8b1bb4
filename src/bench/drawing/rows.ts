import stringWidth from 'string-width';
import { escapeText } from '../../fault/escape.ts';

/**
 * What a piece of a screen says, never how it looks: `theme.ts` turns it into colour. Three hues besides the plain text:
 * `order` (in order), `person` (needs a person), `outside`. Colour only repeats what a word and a mark already say.
 */
export type Style = 'plain' | 'quiet' | 'strong' | 'order' | 'person' | 'outside';

export interface Span {
  readonly text: string;
  readonly style: Style;
}

/** One row of a screen. */
export type Row = readonly Span[];

export const blank: Row = [];

/** Own words: no escaping, for text that holds marks of ours. */
export const mark = (text: string, style: Style = 'plain'): Span => ({ text, style });

/** Words that may come from a file or a person: nothing in them steers the terminal. */
export const span = (text: string, style: Style = 'plain'): Span => ({ text: escapeText(text), style });

export const row = (text: string, style: Style = 'plain'): Row => [span(text, style)];

/** Characters that are one column wide everywhere and never join their neighbours: nearly all that the bench ever measures. */
const plain =
  /^[ -~\u00a1-\u00a8\u00aa-\u00ac\u00af-\u02ff\u2010-\u2027\u2190-\u2193\u2200-\u22ff\u2500-\u25a9\u25c6\u25c7\u25c9\u25cb\u25cc\u25cf\u2713]*$/;

/** Columns that a text takes. */
export const widthOf = (text: string): number => (plain.test(text) ? text.length : stringWidth(text));

export const rowWidth = (spans: Row): number => spans.reduce((sum, { text }) => sum + widthOf(text), 0);

export const rowText = (spans: Row): string => spans.map(({ text }) => text).join('');

let segmenter: Intl.Segmenter | undefined;

/** The characters as a person counts them. */
export const graphemes = (text: string): readonly string[] =>
  // A segmenter takes milliseconds to make: most text never needs it.
  plain.test(text)
    ? Array.from(text)
    : Array.from((segmenter ??= new Intl.Segmenter()).segment(text), ({ segment }) => segment);

/** As much of the text as fits into `width` columns, from its beginning. */
const head = (text: string, width: number): string => {
  let taken = '';
  let used = 0;
  for (const piece of graphemes(text)) {
    used += widthOf(piece);
    if (used > width) break;
    taken += piece;
  }
  return taken;
};

/** As much of the text as fits into `width` columns, up to its end. */
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

/** The text where it fits, else its beginning and two dots, which every terminal can draw. */
export const cut = (text: string, width: number): string => {
  if (widthOf(text) <= width) return text;
  return width <= 2 ? head(text, width) : `${head(text, width - 2)}..`;
};

/** The row where it fits, else as much of it as does. */
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

/** Two things on one row, the second at its right end; the first gives way. */
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

/** Breaks text into lines of at most `width` columns, at spaces where it can. `hanging` indents all but the first. */
export const wrapText = (text: string, width: number, hanging = 0): readonly string[] => {
  const lines: string[] = [];
  let line = '';
  const room = (): number => Math.max(1, width - (lines.length > 0 ? hanging : 0));
  const push = (): void => {
    lines.push(lines.length > 0 ? ' '.repeat(hanging) + line : line);
    line = '';
  };
  for (const word of text.trim().split(/\s+/)) {
    let rest = word;
    if (line !== '' && widthOf(line) + 1 + widthOf(rest) <= room()) {
      line += ` ${rest}`;
      continue;
    }
    if (line !== '') push();
    while (widthOf(rest) > room()) {
      line = head(rest, room()) || (graphemes(rest)[0] ?? '');
      rest = rest.slice(line.length);
      push();
    }
    line = rest;
  }
  if (line !== '' || lines.length === 0) push();
  return lines;
};

/** Text from a file or a person as rows of one style. */
export const paragraphRows = (text: string, width: number, style: Style = 'plain', hanging = 0): readonly Row[] =>
  wrapText(escapeText(text), width, hanging).map((line) => [mark(line, style)]);
