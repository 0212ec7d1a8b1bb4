import fc from 'fast-check';
import Fraction from 'fraction.js';
import { describe, expect, test } from 'vitest';
import {
  decimalTicks,
  degreesOf,
  isWholeTicks,
  kelvinOf,
  ticksOver,
  ticksUnder,
  type Scale,
} from '../../src/quantity/ticks.ts';
import { rational } from './arbitrary.ts';

describe('fixed points (the kelvin and the degree Celsius of the SI brochure; °F by NIST SP 811 B.8)', () => {
  test.each<[string, number, number, Scale, string]>([
    ['absolute zero', -27_315, 2, '°C', '0'],
    ['absolute zero', -45_967, 2, '°F', '0'],
    ['absolute zero', 0, 0, 'K', '0'],
    ['melting ice', 0, 0, '°C', '273.15'],
    ['melting ice', 32, 0, '°F', '273.15'],
    ['the triple point of water', 1, 2, '°C', '273.16'],
    ['boiling water', 212, 0, '°F', '373.15'],
    ['where the scales meet', -40, 0, '°C', '233.15'],
    ['where the scales meet', -40, 0, '°F', '233.15'],
    ['the finest decimal', 1, 9, '°F', '2298.350000005/9'],
  ])('%s, %d with %d decimals in %s, is %s K', (_, whole, decimals, scale, kelvin) => {
    const [over, under = '1'] = kelvin.split('/');
    const exact = new Fraction(over ?? '').div(under);
    const ticks = decimalTicks(whole, decimals, scale);
    expect(kelvinOf(ticks).equals(exact)).toBe(true);
    expect(isWholeTicks(exact)).toBe(true);
    expect([ticksUnder(exact), ticksOver(exact)]).toEqual([ticks, ticks]);
    expect(degreesOf(ticks, scale).equals(new Fraction(whole).div(10 ** decimals))).toBe(true);
  });

  test('a third of a kelvin is whole, a seventh is between two ticks', () => {
    expect(isWholeTicks(new Fraction(1, 3))).toBe(true);
    const seventh = new Fraction(1, 7);
    expect(isWholeTicks(seventh)).toBe(false);
    expect(ticksUnder(seventh)).toBe(1_285_714_285);
    expect(ticksOver(seventh)).toBe(1_285_714_286);
  });
});

test('law: a temperature is between the ticks under and over it, which are one where it is whole', () => {
  fc.assert(
    fc.property(rational, (kelvin) => {
      const [under, over] = [ticksUnder(kelvin), ticksOver(kelvin)];
      return (
        kelvinOf(under).compare(kelvin) <= 0 &&
        kelvinOf(over).compare(kelvin) >= 0 &&
        over - under === (isWholeTicks(kelvin) ? 0 : 1)
      );
    }),
  );
});
