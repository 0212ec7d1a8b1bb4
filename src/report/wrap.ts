import { fittingHead, graphemes, widthOf } from './width.ts';

/**
 * Text in lines of at most `width` columns, broken at spaces, and inside a word only where the word alone is too wide. `hanging` columns
 * indent all lines but the first. The library `wrap-ansi` has no such indent, begins a word that is too wide in the middle of a line, and
 * replaces characters by their composed form, so that a name would not be shown as it was entered.
 */
export const wrap = (text: string, width: number, hanging = 0): readonly string[] => {
  if (widthOf(text) <= width) return [text];
  const lines: string[] = [];
  let line: string | undefined;
  const room = (): number => Math.max(1, width - (lines.length > 0 ? hanging : 0));
  const end = (whole: string): number => lines.push(lines.length > 0 ? ' '.repeat(hanging) + whole : whole);
  for (const word of text.split(' ')) {
    if (line !== undefined && widthOf(line) + 1 + widthOf(word) <= room()) {
      line += ` ${word}`;
      continue;
    }
    if (line !== undefined) end(line);
    let rest = word;
    while (widthOf(rest) > room()) {
      const piece = fittingHead(rest, room()) || (graphemes(rest)[0] ?? '');
      rest = rest.slice(piece.length);
      end(piece);
    }
    line = rest === '' && word !== '' ? undefined : rest;
  }
  if (line !== undefined || lines.length === 0) end(line ?? '');
  return lines;
};

/** The text with spaces after it, up to so many columns. */
export const padTo = (text: string, width: number): string => text + ' '.repeat(Math.max(0, width - widthOf(text)));

/** Columns between two cells. */
const gap = 2;

/** Widths for the columns of a table, in characters: what each wants, or less for the widest where they are more than `room` together. */
export const columnWidths = (wanted: readonly number[], room: number): readonly number[] => {
  const least = Math.max(1, Math.floor((room - gap * (wanted.length - 1)) / wanted.length));
  const widths = [...wanted];
  let over = widths.reduce((sum, width) => sum + width, 0) + gap * (wanted.length - 1) - room;
  while (over > 0) {
    const widest = widths.indexOf(Math.max(...widths));
    if ((widths[widest] ?? 0) <= Math.min(least, 8)) break;
    widths[widest] = (widths[widest] ?? 0) - 1;
    over -= 1;
  }
  return widths;
};

/** One row of a table as lines, each cell wrapped in its own column. */
export const rowLines = (cells: readonly string[], widths: readonly number[]): readonly string[] => {
  const wrapped = cells.map((cell, column) => wrap(cell, widths[column] ?? 1));
  const height = Math.max(1, ...wrapped.map((lines) => lines.length));
  return Array.from({ length: height }, (_, row) =>
    wrapped
      .map((lines, column) => padTo(lines[row] ?? '', widths[column] ?? 0))
      .join(' '.repeat(gap))
      .trimEnd(),
  );
};
