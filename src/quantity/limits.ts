import Fraction from 'fraction.js';
import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { readLimitForm, readNamedEnd, readTwoEnds, whyNotLimits, type NamedEnd } from './limit-forms.ts';
import { longestText, plainText, quoted } from './number.ts';
import {
  compareQuantities,
  makeQuantity,
  parseQuantity,
  plus,
  printQuantity,
  scale,
  toBase,
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
  'write one of: 12.5 ± 0.1 mm; 12.5 +0.2 -0.1 mm; 35 to 40 in·lb; at most 0.2 mm; at least 20 °C; more than 1/2 in; less than 5 °; exactly 4';

const unreadableLimits = (text: string, why: string, todo = forms): Fault =>
  wrong('limits-unreadable', `the limits ${quoted(text)} cannot be read: ${why}`, todo);

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

type Ends = readonly (readonly ['+' | '-', string])[];

/** The offset of one end with its sign; none is no offset: `12.5 +0.2 mm` begins at 12.5 mm. */
const signedOffset = (sign: '+' | '-', tolerance: Quantity, base: Base): Quantity => {
  const offset = offsetOf(tolerance, base);
  return sign === '-' ? scale(offset, minusOne) : offset;
};

const withTolerances = (text: string, baseText: string, ends: Ends, options: LimitOptions): Outcome<Limits> => {
  const [[firstSign, first] = ['+', ''] as const, [secondSign, second] = ['-', ''] as const] = ends;
  const loose = withUnitOf(first, second);
  const base = readBase(
    withUnitOf(baseText, loose.endsWith('%') && options.unit?.dimension !== 'percent' ? '' : loose),
    options,
  );
  if (!base.ok)
    return base.fault.code === 'unit-missing' && loose.endsWith('%')
      ? withPercentages(text, baseText, ends, options)
      : base;
  const own = 'ref' in base.value ? '' : baseText;
  const one = readTolerance(withUnitOf(loose, own), base.value, options);
  if (!one.ok) return one;
  const oneEnd = { base: base.value, offset: signedOffset(firstSign, one.value, base.value), included: true };
  if (ends.length === 1) return finish({ text, low: { base: base.value, included: true }, high: oneEnd });
  const other = readTolerance(withUnitOf(withUnitOf(second, first), own), base.value, options);
  if (!other.ok) return other;
  const otherEnd = { base: base.value, offset: signedOffset(secondSign, other.value, base.value), included: true };
  const rising = compareQuantities(oneEnd.offset, otherEnd.offset) <= 0;
  return finish({ text, low: rising ? oneEnd : otherEnd, high: rising ? otherEnd : oneEnd });
};

/** `50 ± 5 %`, where nothing says what is measured: the number is a percentage itself. */
const withPercentages = (text: string, baseText: string, ends: Ends, options: LimitOptions): Outcome<Limits> =>
  options.unit !== undefined
    ? err(
        wrong(
          'unit-missing',
          `the limits ${quoted(text)} have no unit for ${baseText}`,
          `write the unit: ${baseText} ${options.unit.name} ± …`,
        ),
      )
    : withTolerances(text, `${baseText} %`, ends, options);

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

const readRange = (text: string, lowText: string, highText: string, options: LimitOptions): Outcome<Limits> => {
  const low = readBase(withUnitOf(lowText, highText), options);
  if (!low.ok) return low;
  const high = readBase(withUnitOf(highText, lowText), options);
  if (!high.ok) return high;
  return finish({ text, low: { base: low.value, included: true }, high: { base: high.value, included: true } });
};

/** Manuals round what they print a second time; a slip of units or of digits is larger. Common practice, no source. */
const roundingOfSecondPrint = new Fraction(1, 20);

const near = (a: Quantity, b: Quantity): boolean => {
  const [one, other] = [toBase(a), toBase(b)];
  // A share of a temperature means nothing: a whole degree is what rounding costs.
  const room = a.unit.dimension === 'temperature' ? new Fraction(1) : one.abs().mul(roundingOfSecondPrint);
  return one.sub(other).abs().compare(room) <= 0;
};

/** The ends that have numbers, low first. */
const endsOf = (limits: Limits): readonly Quantity[] => {
  const fixed = fixLimits(limits, () => undefined);
  return [fixed?.low?.at, fixed?.high?.at].filter((at) => at !== undefined);
};

/** The limits, where the text in brackets says the same in another unit: `35 to 40 N·m (310 to 354 in·lb)`, `0.2 mm (0.008 in) max`. */
const agreeing = (limits: Limits, inner: string, innerAndRest: string, options: LimitOptions): Outcome<Limits> => {
  const whole = readLimits(innerAndRest, innerAndRest.trim(), options);
  const [own, one] = [endsOf(limits), whole.ok ? undefined : readBase(inner, options)];
  const theirs = whole.ok ? endsOf(whole.value) : one?.ok === true && !('ref' in one.value) ? [one.value] : [];
  if (theirs.length === 0 || own.length === 0)
    return err(
      unreadableLimits(
        limits.text,
        `the text in brackets, ${quoted(inner)}, is not read`,
        'write the limits without brackets',
      ),
    );
  const agrees =
    theirs.every((their) => their.unit.dimension === own[0]?.unit.dimension) &&
    (theirs.length === own.length
      ? own.every((at, n) => near(at, theirs[n] ?? at))
      : own.some((at) => theirs.some((their) => near(at, their))) || between(own, theirs));
  return agrees
    ? ok(limits)
    : err(
        wrong(
          'limits-differ',
          `the limits ${quoted(limits.text)} say two things: ${own.map(printQuantity).join(' to ')} is not ${inner}`,
          'look at the manual, and write the one that is meant',
        ),
      );
};

/** A single value in brackets belongs to what the tolerance is about: `12.5 mm (0.492 in) ± 0.1 mm`. */
const between = ([low, high]: readonly Quantity[], theirs: readonly Quantity[]): boolean =>
  low !== undefined &&
  high !== undefined &&
  theirs.length === 1 &&
  theirs.every((their) => compareQuantities(low, their) <= 0 && compareQuantities(their, high) <= 0);

const readEnd = ({ text }: NamedEnd, other: string, options: LimitOptions): Outcome<Base> =>
  readBase(withUnitOf(text, other), options);

/** `more than 2 mm, at most 5 mm`: a number without a unit takes the other end's. */
const readBothEnds = (text: string, ends: readonly [NamedEnd, NamedEnd], options: LimitOptions): Outcome<Limits> => {
  const [first, second] = [readEnd(ends[0], ends[1].text, options), readEnd(ends[1], ends[0].text, options)];
  if (!first.ok) return first;
  if (!second.ok) return second;
  return finish({
    text,
    [ends[0].side]: { base: first.value, included: ends[0].included },
    [ends[1].side]: { base: second.value, included: ends[1].included },
  });
};

/** Limits without anything in brackets. */
const readLimits = (text: string, plain: string, options: LimitOptions): Outcome<Limits> => {
  const both = readTwoEnds(plain);
  if (both !== undefined) return readBothEnds(text, both, options);
  const end = readNamedEnd(plain);
  if (end !== undefined) {
    const base = readBase(end.text, options);
    return base.ok ? finish({ text, [end.side]: { base: base.value, included: end.included } }) : base;
  }
  const exactly = /^exactly +(.+)$/i.exec(plain)?.[1];
  if (exactly !== undefined) {
    const base = readBase(exactly, options);
    if (!base.ok) return base;
    const at = { base: base.value, included: true };
    return finish({ text, low: at, high: at });
  }
  const refused = whyNotLimits(plain);
  if (refused !== undefined) return err(unreadableLimits(text, refused[0], refused[1]));
  const form = readLimitForm(plain);
  if (form?.form === 'range') return readRange(text, form.low, form.high, options);
  if (form?.form === 'tolerances') return withTolerances(text, form.base, form.ends, options);
  if (form?.form === 'unclear')
    return err(
      unreadableLimits(
        text,
        'they may be a range or a tolerance on one side',
        `write ${form.low} to ${form.high}, or ${form.low} +0 -${form.high}`,
      ),
    );
  return readBase(plain, options).ok
    ? err(
        unreadableLimits(
          text,
          'they are one value',
          `write exactly ${plain}, or its tolerance, as in 12.5 ± 0.1 mm, or at most or at least before it`,
        ),
      )
    : err(unreadableLimits(text, 'they are in none of the known forms'));
};

/**
 * Limits in the one grammar: `12.5 ± 0.1 mm`, `12.5 +0.2 -0.1 mm`, `35 to 40 in·lb`, `at most`, `at least`, `more than`, `less than`,
 * `exactly`, and what else manuals print for the same (`limit-forms.ts`); an id may stand for a number. Ends are included, except in
 * `more than` and `less than`. The same limits once more in other units, in brackets, are checked against the first and left out.
 */
export const parseLimits = (text: string, options: LimitOptions = {}): Outcome<Limits> => {
  if (text.length > longestText) return err(unreadableLimits(text, `they are longer than ${longestText} characters`));
  const plain = plainText(text).replace(/ +/g, ' ');
  const again = /^(.*?[^ ]) ?[([]([^()[\]±+-]*\d[^()[\]]*)[)\]](.*)$/.exec(plain);
  if (again === null) return readLimits(text, plain, options);
  const [, front = '', inner = '', rest = ''] = again;
  const read = readLimits(text, `${front}${rest}`.trim(), options);
  return read.ok ? agreeing(read.value, inner, `${inner}${rest}`, options) : read;
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
