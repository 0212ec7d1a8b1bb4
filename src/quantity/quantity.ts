import Fraction from 'fraction.js';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { readEnteredNumber } from './entry.ts';
import { namedSize } from './named-sizes.ts';
import { longestText, plainText, quoted, unreadableNumber } from './number.ts';
import { compareFractions, decimalFraction, printNumber, toSignificant } from './rational.ts';
import {
  ambiguousUnit,
  differenceUnit,
  findUnit,
  nearestUnit,
  otherUnit,
  unitNamed,
  unknownSiUnit,
  type Dimension,
  type Unit,
} from './units.ts';

export interface Quantity {
  /** As typed, or as printed where it was computed. */
  readonly text: string;
  /** In `unit`, exact. */
  readonly amount: Fraction;
  readonly unit: Unit;
}

/** A dimension with its article: `a length`, `an angle`. */
export const withArticle = (dimension: Dimension): string =>
  `${/^[aeiou]/.test(dimension) ? 'an' : 'a'} ${dimension.replaceAll('-', ' ')}`;

/** The unit that text names, of the dimension asked for, or the fault that says why not. */
export const readUnit = (text: string, whole: string, dimension?: Dimension): Outcome<Unit> => {
  const unit = findUnit(text, dimension);
  if (unit !== undefined) return ok(unit);
  const pair = ambiguousUnit(text, dimension);
  if (pair !== undefined)
    return err(
      usage(
        'quantity-ambiguous',
        `${quoted(text)} may mean ${pair[0]} or ${pair[1]}`,
        `write ${pair[0]} or ${pair[1]}`,
      ),
    );
  const elsewhere = findUnit(text);
  if (elsewhere !== undefined && dimension !== undefined)
    return err(
      usage(
        'unit-dimension',
        `${quoted(whole)} is ${withArticle(elsewhere.dimension)}, but ${withArticle(dimension)} is asked for`,
        `write it in a unit of ${dimension.replaceAll('-', ' ')}`,
      ),
    );
  const si = unknownSiUnit(text);
  if (si !== undefined)
    return err(
      usage(
        'unit-unknown',
        `${quoted(text)} means the ${si.name}, which is not used here`,
        `write the value in another unit of ${si.dimension.replaceAll('-', ' ')}; the case of a prefix counts`,
      ),
    );
  const words = text.split(/[\s,]+/).filter((word) => findUnit(word) !== undefined);
  if (words.length > 1) return err(unreadableNumber(whole, 'it has two units'));
  if (/\d/.test(text)) return err(unreadableNumber(whole, `${quoted(text)} after the number is not a unit`));
  const near = nearestUnit(text);
  return err(
    usage(
      'unit-unknown',
      `${quoted(text)} is not a unit that is known here`,
      near === undefined ? 'write a unit such as mm, in, N·m, in·lb, °C or g' : `write ${near}, if that is meant`,
    ),
  );
};

/** The fast path: digits, a point, digits, then nothing or a unit in a known spelling. Undefined: take the long way. */
const parsePlain = (text: string, unit: Unit | undefined, dimension: Dimension | undefined): Quantity | undefined => {
  let at = 0;
  let whole = 0;
  let point = -1;
  const minus = text.charCodeAt(0) === 45;
  if (minus) at = 1;
  const first = at;
  for (; at < text.length; at += 1) {
    const code = text.charCodeAt(at);
    if (code >= 48 && code <= 57) whole = whole * 10 + (code - 48);
    else if (code === 46 && point < 0 && at > first) point = at;
    else break;
  }
  const decimals = point < 0 ? 0 : at - point - 1;
  if (at === first || at - first > 15 || (point >= 0 && decimals === 0)) return undefined;
  let found = unit;
  if (at < text.length) {
    const code = text.charCodeAt(at);
    if (code === 44 || code === 45 || code === 46 || code === 47) return undefined;
    const from = code === 32 ? at + 1 : at;
    // Mostly it is the unit that was asked for, and no look-up is needed.
    const own = unit !== undefined && text.length - from === unit.name.length && text.endsWith(unit.name);
    if (!own) found = findUnit(text.slice(from), dimension);
  }
  if (found === undefined) return undefined;
  return { text, amount: decimalFraction(minus ? -whole : whole, decimals), unit: found };
};

interface QuantityOptions {
  /** Taken for a bare number; also fixes the dimension. */
  readonly unit?: Unit;
  /** The dimension asked for, where no unit is taken for granted. */
  readonly dimension?: Dimension;
}

/**
 * What a person typed at the bench or wrote in a file: one number and its unit.
 * A bare number is taken in `options.unit`, which also fixes the dimension; without it, a bare number is refused.
 */
export const parseQuantity = (text: string, options: QuantityOptions = {}): Outcome<Quantity> => {
  if (text.length > longestText) return err(unreadableNumber(text, `it is longer than ${longestText} characters`));
  const dimension = options.unit?.dimension ?? options.dimension;
  const plain = parsePlain(text, options.unit, dimension);
  if (plain !== undefined) return ok(plain);
  const named = dimension === undefined || dimension === 'length' ? namedSize(plainText(text)) : undefined;
  if (named !== undefined) return ok({ text, amount: named, unit: unitNamed('in') });
  const entry = readEnteredNumber(plainText(text), dimension);
  if (!entry.ok) return entry;
  const { amount, unitText } = entry.value;
  if (entry.value.unit !== undefined) return ok({ text, amount, unit: entry.value.unit });
  if (unitText === '') {
    if (options.unit !== undefined) return ok({ text, amount, unit: options.unit });
    return err(usage('unit-missing', `${quoted(text)} has no unit`, 'write the unit after the number, as in 12.5 mm'));
  }
  const unit = readUnit(unitText, text, dimension);
  return unit.ok ? ok({ text, amount, unit: unit.value }) : unit;
};

/** In the base unit of the dimension (see the unit table), exact; for a temperature the kelvin. */
export const toBase = (q: Quantity): Fraction => {
  const scaled = q.amount.mul(q.unit.factor);
  return q.unit.offset === undefined ? scaled : scaled.add(q.unit.offset);
};

/** Exact where the decimals end, else 6 significant digits; a count prints its number alone. */
export const printQuantity = (q: Quantity): string => joined(printNumber(q.amount), q.unit);

const joined = (number: string, unit: Unit): string => {
  if (unit.dimension === 'count') return number;
  if (unit.dimension === 'angle') return `${number}${unit.name === '°' ? ' °' : unit.name}`;
  return `${number} ${unit.name === 'turns' && (number === '1' || number === '-1') ? 'turn' : unit.name}`;
};

/**
 * Exact where the decimals end, else ten significant digits: what a calculated value is entered as. It is then rounded by less than the
 * error bound of a calculated result, 1e-9.
 */
export const printCalculated = (q: Quantity): string => {
  const short = printNumber(q.amount);
  return joined(new Fraction(short).equals(q.amount) ? short : toSignificant(q.amount, 10), q.unit);
};

export const makeQuantity = (amount: Fraction, unit: Unit): Quantity => ({
  text: joined(printNumber(amount), unit),
  amount,
  unit,
});

/** The same value in another unit of the dimension; another dimension is a bug. */
export const convert = (q: Quantity, unit: Unit): Quantity => {
  if (q.unit === unit) return q;
  mustMatch(q.unit, unit);
  const base = toBase(q);
  return makeQuantity((unit.offset === undefined ? base : base.sub(unit.offset)).div(unit.factor), unit);
};

const mustMatch = (a: Unit, b: Unit): void => {
  if (a.dimension !== b.dimension)
    throw new RangeError(`${a.name} is ${withArticle(a.dimension)}, ${b.name} is ${withArticle(b.dimension)}`);
};

/** Exact and unit-blind: 0.5 in is 12.7 mm. Different dimensions are a bug. */
export const compareQuantities = (a: Quantity, b: Quantity): -1 | 0 | 1 => {
  if (a.unit === b.unit) return compareFractions(a.amount, b.amount);
  mustMatch(a.unit, b.unit);
  return compareFractions(toBase(a), toBase(b));
};

/** In a's unit. A temperature takes a difference; two temperatures have no sum. */
export const plus = (a: Quantity, b: Quantity): Quantity => {
  if (a.unit.dimension === 'temperature' && b.unit.dimension === 'temperature-difference')
    return makeQuantity(a.amount.add(convert(b, differenceUnit(a.unit)).amount), a.unit);
  if (a.unit.dimension === 'temperature') throw new RangeError('two temperatures have no sum');
  return makeQuantity(a.amount.add(convert(b, a.unit).amount), a.unit);
};

/** In a's unit. Temperature less temperature is a temperature difference; temperature less difference, a temperature. */
export const minus = (a: Quantity, b: Quantity): Quantity => {
  if (b.unit.dimension === 'temperature-difference') return plus(a, scale(b, new Fraction(-1)));
  return makeQuantity(a.amount.sub(convert(b, a.unit).amount), differenceUnit(a.unit));
};

/** The value so many times; a temperature cannot be scaled (that is a bug). */
export const scale = (q: Quantity, by: Fraction): Quantity => {
  if (q.unit.dimension === 'temperature') throw new RangeError('a temperature cannot be scaled');
  return makeQuantity(q.amount.mul(by), q.unit);
};

/** A quantity written in the code; unreadable text is a bug. */
export const quantity = (text: string, dimension?: Dimension): Quantity => {
  const read = parseQuantity(text, dimension === undefined ? {} : { dimension });
  if (!read.ok) throw new RangeError(read.fault.what);
  return read.value;
};

/** Its own form as typed, and beside it the other system: `0.15 mm (0.00591 in)`. */
export const printBoth = (q: Quantity): string => {
  const typed = plainText(q.text).replace(/ +/g, ' ');
  const own = typed === '' || /[\d¼½¾⅐-⅞]$/.test(typed) ? printQuantity(q) : typed;
  const other = otherUnit(q.unit);
  if (other === undefined) return own;
  const digits = printNumber(q.amount).replace(/^-?[0.]*|\./g, '').length;
  return `${own} (${joined(toSignificant(convert(q, other).amount, Math.min(6, Math.max(3, digits))), other)})`;
};
