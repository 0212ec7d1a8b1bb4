import Fraction from 'fraction.js';
import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { longestText, plainText, quoted } from './number.ts';
import {
  compareQuantities,
  makeQuantity,
  parseQuantity,
  plus,
  printQuantity,
  scale,
  withArticle,
  type Quantity,
} from './quantity.ts';
import { differenceUnit, type Unit } from './units.ts';

/** One end, as written: a quantity or the id of a value above, and what is added to it. */
export interface Bound {
  readonly base: Quantity | { readonly ref: string };
  /** Added to the base; may be negative. In `%` on a base that is no percentage it is that share of the base. */
  readonly offset?: Quantity;
  readonly included: boolean;
}

export interface Limits {
  readonly text: string;
  readonly low?: Bound;
  readonly high?: Bound;
}

export interface FixedBound {
  readonly at: Quantity;
  readonly included: boolean;
}

/** Limits whose ids have their values. */
export interface FixedLimits {
  readonly text: string;
  readonly low?: FixedBound;
  readonly high?: FixedBound;
}

export interface LimitOptions {
  /** The reading's unit: fixes the dimension, is not taken for a bare number. */
  readonly unit?: Unit;
  /** Bare numbers are allowed and are in this unit (counts). */
  readonly bare?: Unit;
}

type Base = Bound['base'];

const forms =
  'write one of: 12.5 ± 0.1 mm; 12.5 +0.2 -0.1 mm; 35 to 40 in·lb; at most 0.2 mm; at least 20 °C; more than 1/2 in; less than 5 °';

const unreadableLimits = (text: string, why: string): Fault =>
  wrong('limits-unreadable', `the limits ${quoted(text)} cannot be read: ${why}`, forms);

const idPattern = /^[a-z][a-z0-9-]*(?:\/[a-z0-9-]+)*$/;
const bareNumber = /^[+-]?[\d.,/ ¼½¾⅐-⅞-]+$/;

/** A number without a unit takes the unit written at the other end of the same limits. */
const withUnitOf = (text: string, other: string): string => {
  if (!bareNumber.test(text)) return text;
  const unit = /^[+-]?[\d.,/ ¼½¾⅐-⅞-]+?\s*([^\d.,/\s¼½¾⅐-⅞-].*)$/.exec(other)?.[1];
  return unit === undefined ? text : `${text} ${unit}`;
};

const asWrong = (fault: Fault): Fault => ({ ...fault, kind: 'wrong' });

const readBase = (text: string, options: LimitOptions): Outcome<Base> => {
  if (idPattern.test(text)) return ok({ ref: text });
  const unit = options.unit ?? options.bare;
  const bare = options.bare !== undefined && bareNumber.test(text) ? options.bare : undefined;
  const read = parseQuantity(
    text,
    bare !== undefined ? { unit: bare } : unit === undefined ? {} : { dimension: unit.dimension },
  );
  return read.ok ? read : err(asWrong(read.fault));
};

const unitOf = (base: Base, options: LimitOptions): Unit | undefined =>
  'ref' in base ? (options.unit ?? options.bare) : base.unit;

/** A tolerance beside a base: a temperature's is a difference; `%` of anything but a percentage is a share of the base. */
const readTolerance = (text: string, base: Base, options: LimitOptions): Outcome<Quantity> => {
  const unit = unitOf(base, options);
  const relative = /(?:%|percent)$/.test(text) && unit?.dimension !== 'percent';
  if (relative && unit?.dimension === 'temperature')
    return err(unreadableLimits(text, 'a temperature has no percentage'));
  const dimension = relative ? 'percent' : unit === undefined ? undefined : differenceUnit(unit).dimension;
  const bare = options.bare !== undefined && bareNumber.test(text) ? options.bare : undefined;
  const read = parseQuantity(text, bare !== undefined ? { unit: bare } : dimension === undefined ? {} : { dimension });
  if (!read.ok) return err(asWrong(read.fault));
  if (read.value.unit.dimension !== 'temperature') return read;
  return ok({ ...read.value, unit: differenceUnit(read.value.unit) });
};

const minusOne = new Fraction(-1);

const offsetOf = (tolerance: Quantity, base: Base): Quantity =>
  'ref' in base || tolerance.unit.dimension !== 'percent' || base.unit.dimension === 'percent'
    ? tolerance
    : makeQuantity(base.amount.abs().mul(tolerance.amount).mul(tolerance.unit.factor), base.unit);

const withTolerances = (
  text: string,
  baseText: string,
  up: string,
  down: string,
  options: LimitOptions,
): Outcome<Limits> => {
  const loose = withUnitOf(up, down);
  const base = readBase(
    withUnitOf(baseText, loose.endsWith('%') && options.unit?.dimension !== 'percent' ? '' : loose),
    options,
  );
  if (!base.ok)
    return base.fault.code === 'unit-missing' && loose.endsWith('%')
      ? withPercentages(text, baseText, up, down, options)
      : base;
  const own = 'ref' in base.value ? '' : baseText;
  const [high, low] = [
    readTolerance(withUnitOf(loose, own), base.value, options),
    readTolerance(withUnitOf(withUnitOf(down, up), own), base.value, options),
  ];
  if (!high.ok) return high;
  if (!low.ok) return low;
  return finish({
    text,
    low: { base: base.value, offset: scale(offsetOf(low.value, base.value), minusOne), included: true },
    high: { base: base.value, offset: offsetOf(high.value, base.value), included: true },
  });
};

/** `50 ± 5 %`, where nothing says what is measured: the number is a percentage itself. */
const withPercentages = (
  text: string,
  baseText: string,
  up: string,
  down: string,
  options: LimitOptions,
): Outcome<Limits> =>
  options.unit !== undefined
    ? err(
        wrong(
          'unit-missing',
          `the limits ${quoted(text)} have no unit for ${baseText}`,
          `write the unit: ${baseText} ${options.unit.name} ± …`,
        ),
      )
    : withTolerances(text, `${baseText} %`, up, down, options);

const dimensionOf = (bound: Bound | undefined): Unit | undefined =>
  bound === undefined || 'ref' in bound.base ? undefined : bound.base.unit;

const finish = (limits: Limits): Outcome<Limits> => {
  const [low, high] = [dimensionOf(limits.low), dimensionOf(limits.high)];
  if (low !== undefined && high !== undefined && low.dimension !== high.dimension)
    return err(
      wrong(
        'unit-dimension',
        `in the limits ${quoted(limits.text)} one end is ${withArticle(low.dimension)}, the other ${withArticle(high.dimension)}`,
        'write both ends in units of one kind',
      ),
    );
  const fixed = fixLimits(limits, () => undefined);
  if (fixed?.low !== undefined && fixed.high !== undefined && compareQuantities(fixed.low.at, fixed.high.at) > 0)
    return err(
      wrong(
        'limits-empty',
        `no value lies within ${quoted(limits.text)}: the low end, ${printQuantity(fixed.low.at)}, is above the high end, ${printQuantity(fixed.high.at)}`,
        'write the lower value first',
      ),
    );
  return ok(limits);
};

const words: readonly { readonly pattern: RegExp; readonly side: 'low' | 'high'; readonly included: boolean }[] = [
  { pattern: /^at most +(.+)$/i, side: 'high', included: true },
  { pattern: /^at least +(.+)$/i, side: 'low', included: true },
  { pattern: /^more than +(.+)$/i, side: 'low', included: false },
  { pattern: /^less than +(.+)$/i, side: 'high', included: false },
];

/** A hyphen inside a unit (`in-lb`) is not a sign. */
const unevenPattern =
  /^([^+]+?) ?\+ ?([^+/-](?:[^+-]|(?<=[a-z])-(?=[a-z]))*?) ?\/? ?- ?((?:[^+-]|(?<=[a-z])-(?=[a-z]))+)$/;

const readRange = (text: string, lowText: string, highText: string, options: LimitOptions): Outcome<Limits> => {
  const low = readBase(withUnitOf(lowText, highText), options);
  if (!low.ok) return low;
  const high = readBase(withUnitOf(highText, lowText), options);
  if (!high.ok) return high;
  return finish({ text, low: { base: low.value, included: true }, high: { base: high.value, included: true } });
};

/**
 * Limits in the one grammar: `12.5 ± 0.1 mm`, `12.5 +0.2 -0.1 mm`, `35 to 40 in·lb`, `at most`, `at least`, `more than`, `less than`;
 * an id may stand for a number. Ends are included, except in `more than` and `less than`.
 */
export const parseLimits = (text: string, options: LimitOptions = {}): Outcome<Limits> => {
  if (text.length > longestText) return err(unreadableLimits(text, `they are longer than ${longestText} characters`));
  const plain = plainText(text).replace(/ +/g, ' ');
  for (const { pattern, side, included } of words) {
    const rest = pattern.exec(plain)?.[1];
    if (rest === undefined) continue;
    const base = readBase(rest, options);
    return base.ok ? finish({ text, [side]: { base: base.value, included } }) : base;
  }
  const range = / to /i.exec(plain);
  if (range !== null) return readRange(text, plain.slice(0, range.index), plain.slice(range.index + 4), options);
  const even = /^([^±]*[^±+ ]) ?(?:±|\+ ?\/ ?-) ?(?=[\d.,¼½¾⅐-⅞])([^±]+)$/.exec(plain);
  if (even !== null) return withTolerances(text, even[1] ?? '', even[2] ?? '', even[2] ?? '', options);
  const uneven = unevenPattern.exec(plain);
  if (uneven !== null) return withTolerances(text, uneven[1] ?? '', uneven[2] ?? '', uneven[3] ?? '', options);
  return err(unreadableLimits(text, 'they are in none of the known forms'));
};

const refOf = (bound: Bound | undefined): string | undefined =>
  bound !== undefined && 'ref' in bound.base ? bound.base.ref : undefined;

/** The ids that stand for numbers, each once. */
export const limitRefs = (limits: Limits): readonly string[] => [
  ...new Set([refOf(limits.low), refOf(limits.high)].filter((ref) => ref !== undefined)),
];

const renamed = (bound: Bound, rename: (id: string) => string): Bound =>
  'ref' in bound.base ? { ...bound, base: { ref: rename(bound.base.ref) } } : bound;

/** The same limits with their ids renamed: `gap` to `gap/bay-1`. */
export const renameRefs = (limits: Limits, rename: (id: string) => string): Limits => ({
  text: limits.text,
  ...(limits.low === undefined ? {} : { low: renamed(limits.low, rename) }),
  ...(limits.high === undefined ? {} : { high: renamed(limits.high, rename) }),
});

const fixBound = (bound: Bound, lookup: (id: string) => Quantity | undefined): FixedBound | undefined => {
  const base = 'ref' in bound.base ? lookup(bound.base.ref) : bound.base;
  if (base === undefined) return undefined;
  const at = bound.offset === undefined ? base : plus(base, offsetOf(bound.offset, base));
  return { at, included: bound.included };
};

/** Limits with their ids looked up; undefined while one has no value yet. */
export const fixLimits = (limits: Limits, lookup: (id: string) => Quantity | undefined): FixedLimits | undefined => {
  const low = limits.low === undefined ? undefined : fixBound(limits.low, lookup);
  const high = limits.high === undefined ? undefined : fixBound(limits.high, lookup);
  if ((limits.low !== undefined && low === undefined) || (limits.high !== undefined && high === undefined))
    return undefined;
  return { text: limits.text, ...(low === undefined ? {} : { low }), ...(high === undefined ? {} : { high }) };
};
