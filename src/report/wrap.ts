import stringWidth from 'string-width';

const cut = (word: string, width: number): readonly string[] => {
  const pieces: string[] = [];
  let piece = '';
  for (const character of word) {
    if (piece !== '' && stringWidth(piece + character) > width) {
      pieces.push(piece);
      piece = '';
    }
    piece += character;
  }
  return piece === '' ? pieces : [...pieces, piece];
};

/** Text in lines of at most `width` columns, broken at spaces, and inside a word only where the word alone is too wide. */
export const wrap = (text: string, width: number): readonly string[] => {
  const lines: string[] = [];
  let line = '';
  const words = text.split(' ').flatMap((word) => (stringWidth(word) > width ? cut(word, width) : [word]));
  for (const [index, word] of words.entries()) {
    const longer = index === 0 ? word : `${line} ${word}`;
    if (index > 0 && stringWidth(longer) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return [...lines, line];
};

export const padTo = (text: string, width: number): string => text + ' '.repeat(Math.max(0, width - stringWidth(text)));

const gap = 2;

/** Widths for the columns of a table: what each wants, or less for the widest where the line has no room. */
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
