export const separators = ['\t', ';', ','] as const;
export type Separator = (typeof separators)[number];

const quote = '"';

/** The cell that begins at a quote, and where the text goes on behind it; `undefined` where the quote is never closed. */
const quotedCell = (line: string, start: number): { readonly text: string; readonly end: number } | undefined => {
  let text = '';
  let from = start + 1;
  for (;;) {
    const at = line.indexOf(quote, from);
    if (at === -1) return undefined;
    text += line.slice(from, at);
    if (line[at + 1] !== quote) return { text, end: at + 1 };
    text += quote;
    from = at + 2;
  }
};

/**
 * The cells of one line, by RFC 4180: a cell in quotes may hold the separator, and a quote written twice. Blanks around a cell are
 * no part of it. `undefined` where a quote is not closed, or text follows one: a logger's cell does not go over lines.
 */
export const cellsOf = (line: string, separator: Separator): readonly string[] | undefined => {
  if (!line.includes(quote)) return line.split(separator).map((cell) => cell.trim());
  const cells: string[] = [];
  let at = 0;
  for (;;) {
    while (line[at] === ' ') at += 1;
    const opened = line[at] === quote ? quotedCell(line, at) : undefined;
    if (line[at] === quote && opened === undefined) return undefined;
    const next = line.indexOf(separator, opened?.end ?? at);
    const end = next === -1 ? line.length : next;
    const rest = line.slice(opened?.end ?? at, end).trim();
    if (opened && rest !== '') return undefined;
    cells.push(opened ? opened.text.trim() : rest);
    if (next === -1) return cells;
    at = next + 1;
  }
};
