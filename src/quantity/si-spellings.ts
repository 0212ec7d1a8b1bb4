import { once } from '../fault/memo.ts';
import type { Dimension } from './unit-table.ts';

/** What a prefix may stand before: the SI's symbols that the trade uses, with its names. NIST SP 811 (2008), tables 1, 3, 6 and 7. */
const symbols: readonly (readonly [symbol: string, name: string, dimension: Dimension])[] = [
  ['m', 'metre', 'length'],
  ['g', 'gram', 'mass'],
  ['s', 'second', 'time'],
  ['A', 'ampere', 'current'],
  ['V', 'volt', 'voltage'],
  ['W', 'watt', 'power'],
  ['N', 'newton', 'force'],
  ['Pa', 'pascal', 'pressure'],
  ['bar', 'bar', 'pressure'],
  ['Ω', 'ohm', 'resistance'],
  ['ohm', 'ohm', 'resistance'],
  ['Hz', 'hertz', 'frequency'],
  ['L', 'litre', 'volume'],
  ['l', 'litre', 'volume'],
  ['K', 'kelvin', 'temperature'],
  ['rad', 'radian', 'angle'],
  ['Ah', 'ampere hour', 'charge'],
];

/** NIST SP 811 (2008), table 5, from pico to giga. */
const prefixes: readonly (readonly [prefix: string, name: string])[] = [
  ['', ''],
  ['p', 'pico'],
  ['n', 'nano'],
  ['µ', 'micro'],
  ['u', 'micro'],
  ['m', 'milli'],
  ['c', 'centi'],
  ['d', 'deci'],
  ['da', 'deca'],
  ['h', 'hecto'],
  ['k', 'kilo'],
  ['M', 'mega'],
  ['G', 'giga'],
];

export interface SiSpelling {
  /** `mPa`. */
  readonly spelling: string;
  /** `millipascal`: what it means, whoever types it. */
  readonly name: string;
  readonly dimension: Dimension;
}

/** Every prefix before every symbol. */
export const siSpellings = once((): readonly SiSpelling[] =>
  symbols.flatMap(([symbol, name, dimension]) =>
    prefixes.map(([prefix, prefixName]) => ({ spelling: prefix + symbol, name: prefixName + name, dimension })),
  ),
);

const byLower = once((): ReadonlyMap<string, readonly SiSpelling[]> => {
  const map = new Map<string, SiSpelling[]>();
  for (const one of siSpellings())
    map.set(one.spelling.toLowerCase(), [...(map.get(one.spelling.toLowerCase()) ?? []), one]);
  return map;
});

/** What a text may mean to the SI if its case is left out of account, each meaning once: `mpa` the millipascal and the megapascal. */
export const siReadings = (text: string, dimension?: Dimension): readonly SiSpelling[] =>
  (byLower().get(text.toLowerCase()) ?? []).filter(
    (one, n, all) =>
      (dimension === undefined || one.dimension === dimension) && all.findIndex(({ name }) => name === one.name) === n,
  );

/** What a text means to the SI as it is written, known here as a unit or not. */
export const siMeaning = (text: string): SiSpelling | undefined =>
  byLower()
    .get(text.toLowerCase())
    ?.find(({ spelling }) => spelling === text);
