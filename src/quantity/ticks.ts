import Fraction from 'fraction.js';

/*
 * Temperatures as whole numbers that a double holds exactly: ninths of a nanokelvin above absolute zero. Every decimal of up to nine
 * places in °C, °F or K is one, so a hundred thousand of them are compared without a fraction being made, and nothing is rounded.
 */

export type Scale = '°C' | '°F' | 'K';

const perKelvin = 9_000_000_000;
/** Decimals of a degree that are still whole. */
export const mostDecimals = 9;

/** Ticks of one degree, and the degrees between the scale's zero and absolute zero, times 100. */
const scales: Readonly<Record<Scale, { readonly degree: number; readonly zero: number }>> = {
  '°C': { degree: perKelvin, zero: 27_315 },
  '°F': { degree: (perKelvin / 9) * 5, zero: 45_967 },
  K: { degree: perKelvin, zero: 0 },
};

/** A decimal on a scale: `whole` divided by ten to the `decimals` (at most nine); |whole| below ten thousand degrees. */
export const decimalTicks = (whole: number, decimals: number, scale: Scale): number => {
  const { degree, zero } = scales[scale];
  return whole * (degree / 10 ** decimals) + zero * (degree / 100);
};

/** A temperature in kelvin as ticks; rounded down where it is no whole number of them. */
export const ticksUnder = (kelvin: Fraction): number => Number(kelvin.mul(perKelvin).floor().toString());

/** The least whole number of ticks that is not below it: what a whole number of ticks must reach to reach a limit. */
export const ticksOver = (kelvin: Fraction): number => Number(kelvin.mul(perKelvin).ceil().toString());

/** Whether a temperature in kelvin is a whole number of ticks. */
export const isWholeTicks = (kelvin: Fraction): boolean => kelvin.mul(perKelvin).d === 1n;

/** Kelvin, exact. */
export const kelvinOf = (ticks: number): Fraction => new Fraction(BigInt(ticks), BigInt(perKelvin));

/** Degrees on a scale, exact. */
export const degreesOf = (ticks: number, scale: Scale): Fraction => {
  const { degree, zero } = scales[scale];
  return new Fraction(BigInt(ticks), BigInt(degree)).sub(new Fraction(zero, 100));
};
