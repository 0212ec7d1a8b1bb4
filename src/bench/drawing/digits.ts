import type { Marks } from './marks.ts';
import { graphemes } from '../../report/width.ts';
import { mark, type Row, type Style } from './rows.ts';

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
};

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
