import type { Marks } from './marks.ts';
import { graphemes } from '../../report/width.ts';
import { mark, rowWidth, span, type Row, type Span, type Style } from './rows.ts';

/**
 * A value as large as one row allows, with a space between its digits: `0 . 1 2  mm`. Letters stay together, so that a unit is read as one
 * word.
 */
export const spaced = (text: string): string => {
  let out = '';
  let letters = false;
  for (const piece of graphemes(text)) {
    const letter = /[\p{L}°'"·]/u.test(piece);
    if (out !== '' && !(letter && letters)) out += ' ';
    out += piece;
    letters = letter;
  }
  return out;
};

/** Five rows of three dots for each character of a clock; a dot is half a terminal row high, so that digits come out upright. */
const shapes: Readonly<Record<string, readonly string[]>> = {
  '0': ['###', '#.#', '#.#', '#.#', '###'],
  '1': ['.#.', '##.', '.#.', '.#.', '###'],
  '2': ['###', '..#', '###', '#..', '###'],
  '3': ['###', '..#', '.##', '..#', '###'],
  '4': ['#.#', '#.#', '###', '..#', '..#'],
  '5': ['###', '#..', '###', '..#', '###'],
  '6': ['###', '#..', '###', '#.#', '###'],
  '7': ['###', '..#', '..#', '.#.', '.#.'],
  '8': ['###', '#.#', '###', '#.#', '###'],
  '9': ['###', '#.#', '###', '..#', '###'],
  ':': ['.', '#', '.', '#', '.'],
  ' ': ['.', '.', '.', '.', '.'],
  '-': ['...', '...', '###', '...', '...'],
  '.': ['.', '.', '.', '.', '#'],
  ',': ['.', '.', '.', '#', '#'],
  '/': ['..#', '..#', '.#.', '#..', '#..'],
};

/** Columns of a text in block digits. */
const blockWidth = (text: string): number =>
  Array.from(text).reduce((sum, character) => sum + (shapes[character]?.[0]?.length ?? 1) + 1, -1);

/** Whether every character of a text has a shape. */
const hasShapes = (text: string): boolean => Array.from(text).every((character) => Object.hasOwn(shapes, character));

/** Rows of a large clock; three where the terminal draws half blocks, else one row of spaced digits. */
export const largeClock = (text: string, marks: Marks, style: Style): readonly Row[] => {
  const halves = marks.halves;
  if (!halves) return [[mark(spaced(text), style)]];
  const [upper, lower, both] = halves;
  const dots = [0, 1, 2, 3, 4, 5].map((line) =>
    Array.from(text, (character) => {
      const shape = shapes[character] ?? shapes[' '] ?? [];
      return shape[line] ?? '.'.repeat(shape[0]?.length ?? 1);
    }).join('.'),
  );
  return [0, 2, 4].map((line) => {
    const [above, below] = [dots[line] ?? '', dots[line + 1] ?? ''];
    const cells = Array.from(above, (dot, column) => {
      const under = below[column] === '#';
      return dot === '#' ? (under ? both : upper) : under ? lower : ' ';
    });
    return [mark(cells.join(''), style)];
  });
};

/** From so many rows of a page on, there is room for a value in block digits. */
export const roomForDigits = 8;

/**
 * A value in block digits, three rows high, with its unit at their foot and something beside it; `undefined` where the terminal has no
 * half blocks, the row is too narrow, or the text is no plain number.
 */
const largeValue = (
  number: string,
  unit: string,
  beside: readonly Span[],
  marks: Marks,
  width: number,
): readonly Row[] | undefined => {
  const after: Row = [mark(`  ${unit}`, 'strong'), ...(beside.length > 0 ? [mark('    '), ...beside] : [])];
  if (!marks.halves || !hasShapes(number) || blockWidth(number) + 2 + rowWidth(after) > width) return undefined;
  return largeClock(number, marks, 'strong').map((row, index) => [mark('  '), ...row, ...(index === 2 ? after : [])]);
};

/** A value as large as there is room for: in block digits, else in one row with a space between its digits. */
export const valueRows = (
  text: string,
  beside: readonly Span[],
  marks: Marks,
  width: number,
  hasRoom: boolean,
): readonly Row[] => {
  const found = /^(-?[\d.,/]+)\s*(.*)$/u.exec(text);
  const [number = text, unit = ''] = found ? found.slice(1) : [];
  const large = hasRoom && found ? largeValue(number, unit, beside, marks, width) : undefined;
  if (large) return large;
  const one: Row = [mark('  '), span(spaced(number), 'strong'), span(`  ${unit}`, 'strong')];
  const both: Row = [...one, mark('    '), ...beside];
  return beside.length === 0 || rowWidth(both) <= width ? [beside.length === 0 ? one : both] : [one, beside];
};
