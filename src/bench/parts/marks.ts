/** The marks of the bench: one table for terminals that speak UTF-8, one in ASCII for those that do not. */
export interface Marks {
  readonly driven: string;
  readonly open: string;
  readonly todo: string;
  readonly holdShut: string;
  readonly holdReleased: string;
  readonly permanentOpen: string;
  readonly permanentDone: string;
  readonly cure: string;
  readonly outside: string;
  readonly left: string;

  readonly within: string;
  readonly not: string;
  readonly undecided: string;
  readonly attention: string;
  readonly pointer: string;
  readonly cursor: string;
  readonly up: string;
  readonly down: string;

  readonly axis: string;
  readonly axisLow: string;
  readonly axisHigh: string;
  readonly at: string;
  readonly filled: string;
  readonly hollow: string;
  /** From low to high. */
  readonly heights: readonly string[];
  readonly divider: string;
  readonly secret: string;
  /** Half blocks for large digits: upper, lower, both; undefined where the terminal has none. */
  readonly halves?: readonly [upper: string, lower: string, both: string];
}

export const drawn: Marks = {
  driven: '●',
  open: '◉',
  todo: '○',
  holdShut: '◇',
  holdReleased: '◆',
  permanentOpen: '▢',
  permanentDone: '■',
  cure: '≈',
  outside: '×',
  left: '◌',
  within: '✓',
  not: '×',
  undecided: '?',
  attention: '!',
  pointer: '>',
  cursor: '▏',
  up: '↑',
  down: '↓',
  axis: '─',
  axisLow: '├',
  axisHigh: '┤',
  at: '●',
  filled: '█',
  hollow: '░',
  heights: ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'],
  divider: '│',
  secret: '●',
  halves: ['▀', '▄', '█'],
};

export const ascii: Marks = {
  driven: '#',
  open: '@',
  todo: 'o',
  holdShut: '<>',
  holdReleased: '##',
  permanentOpen: '[]',
  permanentDone: '[#]',
  cure: '~',
  outside: 'x',
  left: '.',
  within: '+',
  not: 'x',
  undecided: '?',
  attention: '!',
  pointer: '>',
  cursor: '_',
  up: '^',
  down: 'v',
  axis: '-',
  axisLow: '|',
  axisHigh: '|',
  at: '#',
  filled: '#',
  hollow: '.',
  heights: ['_', '.', ':', '-', '=', '+', '*', '#'],
  divider: '|',
  secret: '*',
};

/**
 * The marks that a terminal can draw, by its environment. POSIX: the first of LC_ALL, LC_CTYPE, LANG that is set and not empty
 * decides the character set; the Linux console has UTF-8 but no glyphs for half of the marks.
 */
export const marksFor = (env: Readonly<Record<string, string | undefined>>): Marks => {
  const locale = [env['LC_ALL'], env['LC_CTYPE'], env['LANG']].find((value) => value !== undefined && value !== '');
  const speaks = locale !== undefined && /utf-?8/i.test(locale);
  return speaks && env['TERM'] !== 'linux' && env['TERM'] !== 'dumb' ? drawn : ascii;
};
