export const separators = ['\t', ';', ','] as const;
export type Separator = (typeof separators)[number];

const quote = '"';

/**
 * The cell that begins at a quote, and the index where the text goes on after it; `undefined` where the quote is never closed.
 * @param start the index of the opening quote, from 0.
 */
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
 * Splits one line into cells by RFC 4180: a quoted cell may contain the separator, and a doubled quote. Blanks around a cell are dropped.
 * `undefined` where a quote is not closed, or where text follows a closing quote: a logger's cell never spans lines.
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
