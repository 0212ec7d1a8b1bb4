import fc from 'fast-check';
import Fraction from 'fraction.js';
import { describe, expect, it, test } from 'vitest';
import { decide } from '../../src/quantity/decision.ts';
import { fixLimits, parseLimits, type FixedLimits } from '../../src/quantity/limits.ts';
import { makeQuantity, parseQuantity, type Quantity } from '../../src/quantity/quantity.ts';
import { shownLimits, shownTarget, toBeWritten } from '../../src/quantity/shown-limits.ts';
import { unitNamed } from '../../src/quantity/units.ts';

const quantity = (text: string): Quantity => {
  const read = parseQuantity(text);
  if (!read.ok) throw new Error(read.fault.what);
  return read.value;
};

const limitsOf = (text: string): FixedLimits => {
  const read = parseLimits(text);
  const fixed = read.ok ? fixLimits(read.value, () => undefined) : undefined;
  if (!fixed) throw new Error(text);
  return fixed;
};

const between = (low: string, high: string): FixedLimits => ({
  text: 'target ± 2 %',
  low: { at: quantity(low), included: true },
  high: { at: quantity(high), included: true },
});

describe('limits as a person acts on them', () => {
  it.each([
    [between('45.36224 g', '47.21376 g'), '45.4 to 47.2 g'],
    [between('25.872 g', '26.928 g'), '25.9 to 26.9 g'],
    [between('43.12 g', '44.88 g'), '43.2 to 44.8 g'],
    [between('157.465 in·lb', '183.239 in·lb'), '158 to 183 in·lb'],
    [limitsOf('12.5 ± 0.1 mm'), '12.4 to 12.6 mm'],
    [limitsOf('0 ± 0.2 °'), '-0.2 to 0.2 °'],
    [limitsOf('at most 0.15 mm'), 'at most 0.15 mm'],
    [limitsOf('more than 2 mm'), 'more than 2 mm'],
    [limitsOf('at most 1/3 in'), 'at most 0.3333 in'],
    [limitsOf('at most 104.1666 g'), 'at most 104.1 g'],
    [limitsOf('at least 20.8333 g'), 'at least 20.84 g'],
    [limitsOf('12 ± 0 mm'), 'exactly 12 mm'],
    [limitsOf('160 to 190 in·lb'), '160 to 190 in·lb'],
  ])('%#: %s', (limits, words) => {
    expect(shownLimits(limits).text).toBe(words);
  });

  it('rounds to what the tool shows, where that is known', () => {
    expect(shownLimits(between('25.872 g', '26.928 g'), quantity('0.01 g')).text).toBe('25.88 to 26.92 g');
    expect(shownLimits(between('25.872 g', '26.928 g'), quantity('0.5 g')).text).toBe('26 to 26.5 g');
    expect(shownLimits(between('25.6 g', '25.9 g'), quantity('1 g')).text).toBe('25.6 to 25.9 g');
  });

  const amount = fc.tuple(fc.integer({ min: -1e9, max: 1e9 }), fc.integer({ min: 1, max: 99_999 }));
  it('never leaves the limits, and takes at most a tenth of the zone from either end', () => {
    fc.assert(
      fc.property(amount, fc.integer({ min: 1, max: 1e8 }), ([n, d], width) => {
        const unit = unitNamed('mm');
        const low = new Fraction(n, d);
        const high = low.add(new Fraction(width, 1e6));
        const limits: FixedLimits = {
          text: '',
          low: { at: makeQuantity(low, unit), included: true },
          high: { at: makeQuantity(high, unit), included: true },
        };
        const shown = shownLimits(limits);
        const [from, to] = [shown.low?.at ?? quantity('0 mm'), shown.high?.at ?? quantity('0 mm')];
        expect(decide(from, limits)).toBe('within');
        expect(decide(to, limits)).toBe('within');
        const tenth = high.sub(low).div(10);
        expect(from.amount.sub(low).compare(tenth)).toBeLessThanOrEqual(0);
        expect(high.sub(to.amount).compare(tenth)).toBeLessThanOrEqual(0);
      }),
    );
  });
});

describe('a value as it is to be written', () => {
  it.each([
    ['212.43333 kg', between('212.38333 kg', '212.48333 kg'), '212.4 kg'],
    ['2.87654 m', between('2.87554 m', '2.87754 m'), '2.877 m'],
    ['82.5 kg', between('82.5 kg', '82.5 kg'), '82.5 kg'],
    ['10 mm', limitsOf('at most 12 mm'), '10 mm'],
  ])('%s is written %s', (value, limits, words) => {
    expect(toBeWritten(quantity(value), limits)).toBe(words);
  });

  it('lies within its limits, whatever they are', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1e9, max: 1e9 }), fc.integer({ min: 0, max: 1e7 }), (value, tolerance) => {
        const unit = unitNamed('kg');
        const at = new Fraction(value, 7e4);
        const by = new Fraction(tolerance, 1e6);
        const limits: FixedLimits = {
          text: '',
          low: { at: makeQuantity(at.sub(by), unit), included: true },
          high: { at: makeQuantity(at.add(by), unit), included: true },
        };
        const written = quantity(toBeWritten(makeQuantity(at, unit), limits));
        if (tolerance > 0) expect(decide(written, limits)).toBe('within');
      }),
    );
  });
});

test('a target is rounded as its limits are', () => {
  expect(shownTarget(quantity('26.4 g'), between('25.872 g', '26.928 g'))).toBe('26.4 g');
  expect(shownTarget(quantity('45.848 g'), between('44.93104 g', '46.76496 g'))).toBe('45.8 g');
  expect(shownTarget(quantity('26.4 g'), between('25.872 g', '26.928 g'), quantity('0.05 g'))).toBe('26.4 g');
});
