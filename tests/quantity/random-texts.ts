import { chance } from '../support/chance.ts';
import { allUnits } from './arbitrary.ts';

/** What numbers and units consist of, and similar characters. */
export const pieces: readonly string[] = [
  ...'0123456789.,/-+ \'"°%½⅞±−′″\t\u2009\u202f·×*^eExNnaIi\u0000\u202e😀'.split(''),
  ...allUnits.map(({ name }) => name),
  'Infinity',
  'NaN',
  'gal',
  '1e400',
  '999999999999999999999',
  '1/0',
  ' per ',
];

const oneOf = <T>(next: () => number, list: readonly T[]): T | undefined => list[Math.floor(next() * list.length)];

const fromPieces = (next: () => number): string =>
  Array.from({ length: Math.floor(next() * 14) }, () => oneOf(next, pieces) ?? '').join('');

const fromAnywhere = (next: () => number): string =>
  Array.from({ length: Math.floor(next() * 40) }, () => String.fromCharCode(Math.floor(next() * 0x10000))).join('');

/** One piece many times over, which would be slow for a pattern that backtracks. */
const repeated = (next: () => number): string => (oneOf(next, pieces) ?? '').repeat(Math.floor(next() * 260));

const almost = (next: () => number): string =>
  `${(next() * 1000).toFixed(Math.floor(next() * 5))}${oneOf(next, ['', ' ', '-', '\u2009']) ?? ''}${oneOf(next, pieces) ?? ''}`;

/** Texts as people would type them, or nearly. @param count how many. @param seed the same seed gives the same texts. */
export function* randomTexts(count: number, seed: number): Generator<string> {
  const next = chance(seed);
  for (let made = 0; made < count; made += 1)
    yield (oneOf(next, [fromPieces, fromPieces, fromAnywhere, repeated, almost]) ?? almost)(next);
}
