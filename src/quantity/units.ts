import Fraction from 'fraction.js';
import { once } from '../fault/memo.ts';
import { suggest } from '../fault/nearest.ts';
import { siMeaning, siReadings, type SiSpelling } from './si-spellings.ts';
import { ambiguousUnits, dimensions, unitTable, type Dimension, type UnitRow } from './unit-table.ts';

export type { Dimension } from './unit-table.ts';

export interface Unit {
  /** As printed: `mm`, `in·lb`, `°C`, `US gal`. */
  readonly name: string;
  readonly dimension: Dimension;
  /** Base units of the dimension in one of these, exact. */
  readonly factor: Fraction;
  /** Added after the factor: temperatures only, so that the base is the kelvin. */
  readonly offset?: Fraction;
}

/** `a*b/c…` from left to right, each an integer. */
const product = (text: string): Fraction =>
  text
    .split(/(?=[*/])/)
    .reduce(
      (so, part) => (part.startsWith('/') ? so.div(part.slice(1)) : so.mul(part.replace('*', ''))),
      new Fraction(1),
    );

/** The factor is worked out when it is first wanted: most units of the table are never used in one run. */
const makeUnit = (dimension: Dimension, row: UnitRow): Unit => {
  const factor = once(() => product(row.factor));
  return Object.freeze({
    name: row.name,
    dimension,
    get factor() {
      return factor();
    },
    ...(row.offset === undefined ? {} : { offset: product(row.offset) }),
  });
};

/** The spelling under which a unit is looked up: one kind of dot, space, hyphen, quote and degree sign. */
const keyOf = (text: string): string =>
  text
    .replace(/[º˚]/g, '°')
    .replace(/℃/g, '°C')
    .replace(/℉/g, '°F')
    .replace(/μ/g, 'µ')
    .replace(/[′’]/g, "'")
    .replace(/[″”“]/g, '"')
    .replace(/Ω/g, 'Ω')
    .replace(/\bper\b(?![ ·]?cent)/g, '/')
    .replace(/[\s\-‐‑·⋅•∙*.]+/g, '·')
    .replace(/·?\/·?/g, '/')
    .replace(/°·/g, '°')
    .replace(/^·|·$/g, '');

const enter = (map: Map<string, Unit[]>, key: string, unit: Unit): void => {
  const known = map.get(key);
  if (known === undefined) map.set(key, [unit]);
  else if (!known.some((one) => one.dimension === unit.dimension)) known.push(unit);
};

interface AllUnits {
  /** The listed spellings as they stand: the usual ones are found without working out any key. */
  readonly bySpelling: ReadonlyMap<string, readonly Unit[]>;
  /** Each unit's counterpart in the other system. */
  readonly others: ReadonlyMap<Unit, Unit>;
}

/** Every unit of the table, made once, so that one unit is one object. */
const makeUnits = (): AllUnits => {
  const [bySpelling, others] = [new Map<string, Unit[]>(), new Map<Unit, Unit>()];
  for (const dimension of dimensions) {
    const made = new Map(unitTable[dimension].map((row) => [row.name, { row, unit: makeUnit(dimension, row) }]));
    for (const { row, unit } of made.values()) {
      for (const spelling of [row.name, ...(row.also?.split(' ') ?? [])]) enter(bySpelling, spelling, unit);
      const other = row.other === undefined ? undefined : made.get(row.other)?.unit;
      if (other !== undefined) others.set(unit, other);
    }
  }
  return { bySpelling, others };
};

const { bySpelling, others } = makeUnits();

interface Keys {
  readonly exact: ReadonlyMap<string, readonly Unit[]>;
  readonly lower: ReadonlyMap<string, readonly Unit[]>;
}

/** Worked out at the first spelling that is not listed as it stands. */
const keys = once((): Keys => {
  const [exact, lower] = [new Map<string, Unit[]>(), new Map<string, Unit[]>()];
  for (const [spelling, units] of bySpelling) for (const unit of units) enter(exact, keyOf(spelling), unit);
  for (const [key, units] of exact) for (const unit of units) enter(lower, key.toLowerCase(), unit);
  return { exact, lower };
});

/** Without a dimension asked for, `lb` and `oz` are masses, `'` is a foot, `"` an inch, `°C` a temperature, `m` a metre. */
const preferred: readonly Dimension[] = ['length', 'mass', 'torque', 'temperature'];

const choose = (found: readonly Unit[] | undefined, dimension: Dimension | undefined): Unit | undefined => {
  if (found === undefined) return undefined;
  if (dimension !== undefined) return found.find((unit) => unit.dimension === dimension);
  return preferred.flatMap((one) => found.filter((unit) => unit.dimension === one))[0] ?? found[0];
};

/** All upper, all lower, or a whole word with a capital: then the case may carry no meaning. */
const oneCase = (key: string): boolean =>
  key === key.toLowerCase() ||
  key === key.toUpperCase() ||
  (key.length > 4 && key.slice(1) === key.slice(1).toLowerCase());

/**
 * The unit of a text in another case than its own, where the case carries no meaning: `KG`, `IN-LB`. A prefix is never guessed: where the
 * SI reads the letters in two ways (`mpa`, `MM`), or in another way than the unit that was found (`nm`), there is none.
 */
const inOtherCase = (key: string, dimension: Dimension | undefined): Unit | undefined => {
  if (!oneCase(key)) return undefined;
  const found = choose(keys().lower.get(key.toLowerCase()), dimension);
  const parts = key.split(/[·/]/);
  const plain =
    parts.length > 1
      ? parts.every((part) => siReadings(part).length < 2)
      : siReadings(key, dimension).every(({ spelling }) => bySpelling.get(spelling)?.some((unit) => unit === found));
  return plain ? found : undefined;
};

/**
 * The unit that a person means, in every usual spelling; `undefined` where there is none, or none of the dimension asked for.
 * `lb` follows the dimension (mass or force). Case is forgiven only where it carries no meaning, so that `mPa` is never `MPa`.
 */
export const findUnit = (text: string, dimension?: Dimension): Unit | undefined => {
  const listed = choose(bySpelling.get(text), dimension);
  if (listed !== undefined) return listed;
  if (text.length > 40) return undefined;
  const key = keyOf(text);
  return choose(keys().exact.get(key), dimension) ?? inOtherCase(key, dimension);
};

/** A unit of the table by its printed name; a wrong name is a bug. */
export const unitNamed = (name: string, dimension?: Dimension): Unit => {
  const unit = findUnit(name, dimension);
  if (unit === undefined) throw new RangeError(`no unit ${name}`);
  return unit;
};

/** The two units that an ambiguous spelling (`gal`, `gph`, `fl oz`) may mean, or that its case leaves open (`mpa`, `MM`). */
export const ambiguousUnit = (text: string, dimension?: Dimension): readonly [string, string] | undefined => {
  const key = keyOf(text).toLowerCase();
  if (Object.hasOwn(ambiguousUnits, key)) return ambiguousUnits[key];
  if (siMeaning(text) !== undefined) return undefined;
  const [one, other] = siReadings(text, dimension);
  return one === undefined || other === undefined ? undefined : [one.spelling, other.spelling];
};

/** What a spelling of the SI means, where no unit is kept for it here: `mPa`, the millipascal. */
export const unknownSiUnit = (text: string): SiSpelling | undefined =>
  findUnit(text) === undefined ? siMeaning(text) : undefined;

/** The unit that a reader of the other system would use: mm and in, N·m and in·lb, °C and °F. */
export const otherUnit = (unit: Unit): Unit | undefined =>
  others.get(unit) ?? others.get(findUnit(unit.name, unit.dimension) ?? unit);

/** The unit for the difference of two values in this one: itself, but a temperature difference for a temperature. */
export const differenceUnit = (unit: Unit): Unit =>
  unit.dimension === 'temperature' ? unitNamed(unit.name, 'temperature-difference') : unit;

/** How many letters of the one are not in the other: a cheap floor under their distance. */
const strangers = (a: string, b: string): number => {
  let count = 0;
  for (const letter of a) if (!b.includes(letter)) count += 1;
  return count;
};

/** The printed name of the known unit most like a misspelt one, if any is near. */
export const nearestUnit = (text: string): string | undefined => {
  const key = keyOf(text).toLowerCase();
  if (key === '' || key.length > 20) return undefined;
  // One letter of two or three is too much to change: a slip in so short a word keeps at least its first.
  const like = [...keys().lower.keys()].filter(
    (spelling) =>
      spelling.length > 1 && strangers(key, spelling) <= 2 && (key.length > 3 || spelling.startsWith(key.charAt(0))),
  );
  const found = suggest(key, like);
  return found === undefined ? undefined : keys().lower.get(found)?.[0]?.name;
};
