import { drawsUnicode, type TerminalEnvironment } from '../../terminal/environment.ts';

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
  /** Half of a filled cell; empty where the terminal has none. */
  readonly half: string;
  /** What is still to come of a bar. */
  readonly rest: string;
  /** From low to high. */
  readonly heights: readonly string[];
  /** Whether heights can be drawn in steps finer than a character. */
  readonly fine: boolean;
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
  half: '▌',
  rest: '·',
  heights: ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'],
  fine: true,
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
  half: '',
  rest: '.',
  heights: ['_', '.', ':', '-', '=', '+', '*', '#'],
  fine: false,
  divider: '|',
  secret: '*',
};

/** The marks that a terminal can draw, by its environment. */
export const marksFor = (env: TerminalEnvironment): Marks => (drawsUnicode(env) ? drawn : ascii);
