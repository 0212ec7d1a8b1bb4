import Fraction from 'fraction.js';

/** The largest power of ten that a plain number takes as a divisor. */
const mostDecimals = 15;

/** 2^a × 5^b: every denominator that a decimal can have once it is reduced. */
const denominators: readonly (readonly bigint[])[] = Array.from({ length: mostDecimals + 1 }, (_, twos) =>
  Array.from({ length: mostDecimals + 1 }, (__, fives) => 2n ** BigInt(twos) * 5n ** BigInt(fives)),
);

/** A fraction that is reduced already: the library's own constructor would find the greatest common divisor again. */
const reduced = (n: bigint, d: bigint): Fraction => {
  const fraction = Object.create(Fraction.prototype) as { s: bigint; n: bigint; d: bigint };
  fraction.s = n < 0n ? -1n : 1n;
  fraction.n = n < 0n ? -n : n;
  fraction.d = d;
  return fraction as Fraction;
};

/** A whole number (safe) divided by a power of ten, reduced here because the library's own reduction is the slow part. */
export const decimalFraction = (whole: number, decimals: number): Fraction => {
  if (whole === 0) return reduced(0n, 1n);
  let numerator = whole;
  let twos = decimals;
  let fives = decimals;
  for (; twos > 0 && numerator % 2 === 0; twos -= 1) numerator /= 2;
  for (; fives > 0 && numerator % 5 === 0; fives -= 1) numerator /= 5;
  return reduced(BigInt(numerator), denominators[twos]?.[fives] ?? 1n);
};

/**
 * A computed number as an exact fraction: its first 15 significant digits. The rest of a double is noise of the computation,
 * and the error, below 1e-15 of the value, is far inside the 1e-9 that a calculated result carries.
 */
export const fromFloat = (value: number): Fraction => {
  if (!Number.isFinite(value)) throw new RangeError('not a finite number');
  const [mantissa = '0', exponent = '0'] = value.toExponential(14).split('e');
  const digits = BigInt(mantissa.replace('.', ''));
  const power = Number(exponent) - 14;
  return power >= 0 ? new Fraction(digits * 10n ** BigInt(power), 1n) : new Fraction(digits, 10n ** BigInt(-power));
};

/** The nearest double; for the irrational calculations only, never for a decision. */
export const toNumber = (value: Fraction): number => value.valueOf();

/** How many decimals it takes to write the value exactly, or undefined where it never ends (or takes more than `most`). */
const endingDecimals = (value: Fraction, most: number): number | undefined => {
  let twos = 0;
  let fives = 0;
  let rest = value.d;
  while (rest % 2n === 0n && twos <= most) {
    rest /= 2n;
    twos += 1;
  }
  while (rest % 5n === 0n && fives <= most) {
    rest /= 5n;
    fives += 1;
  }
  const needed = Math.max(twos, fives);
  return rest === 1n && needed <= most ? needed : undefined;
};

/** Rounded half away from zero to so many decimals, in plain digits. */
const toDecimals = (value: Fraction, decimals: number): string => {
  const scale = 10n ** BigInt(decimals);
  const rounded = (2n * value.n * scale + value.d) / (2n * value.d);
  const digits = rounded.toString().padStart(decimals + 1, '0');
  const sign = value.s < 0n && rounded !== 0n ? '-' : '';
  return decimals === 0 ? `${sign}${digits}` : `${sign}${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
};

/** The power of ten of the first significant digit: 2 for 214, -3 for 0.0059. */
const leadingPower = (value: Fraction): number => {
  if (value.n === 0n) return 0;
  const guess = value.n.toString().length - value.d.toString().length;
  const [up, down] = guess >= 0 ? [1n, 10n ** BigInt(guess)] : [10n ** BigInt(-guess), 1n];
  return value.n * up >= value.d * down ? guess : guess - 1;
};

const trimmed = (text: string): string => (text.includes('.') ? text.replace(/\.?0+$/, '') : text);

/** Rounded to so many significant digits, no exponent, whole digits never rounded away, trailing zeros dropped. */
export const toSignificant = (value: Fraction, digits: number): string => {
  const decimals = Math.max(0, digits - 1 - leadingPower(value));
  return trimmed(toDecimals(value, Math.min(decimals, 400)));
};

const longestExact = 10;

/** Exact where it ends within 10 digits, else 6 significant digits. */
export const printNumber = (value: Fraction): string => {
  const decimals = endingDecimals(value, longestExact);
  if (decimals !== undefined && decimals + Math.max(0, leadingPower(value)) <= longestExact)
    return toDecimals(value, decimals);
  return toSignificant(value, 6);
};

/** A decimal without exponent, of at least so many significant digits: for programs that read the result. */
export const decimalText = (value: Fraction, atLeast = 6): string => {
  const wanted = Math.max(0, atLeast - 1 - leadingPower(value));
  const exact = endingDecimals(value, 20);
  return toDecimals(value, exact === undefined ? wanted + 6 : Math.max(exact, wanted));
};

/** -1, 0 or 1. */
export const compareFractions = (a: Fraction, b: Fraction): -1 | 0 | 1 => {
  // The sign of zero is that of a positive number.
  if (a.s !== b.s) return a.s < b.s ? -1 : 1;
  const [left, right] = a.d === b.d ? [a.n, b.n] : [a.n * b.d, b.n * a.d];
  if (left === right) return 0;
  return left < right === a.s > 0n ? -1 : 1;
};
