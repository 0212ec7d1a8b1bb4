import fc from 'fast-check';
import Fraction from 'fraction.js';
import { describe, expect, test } from 'vitest';
import {
  agreesWithCalculated,
  decide,
  decideCalculated,
  decideGuarded,
  expandedSquared,
  readUncertainty,
  type Uncertainty,
  type UncertaintySpec,
} from '../../src/quantity/decision.ts';
import { fixLimits, parseLimits, type FixedLimits } from '../../src/quantity/limits.ts';
import { makeQuantity, quantity } from '../../src/quantity/quantity.ts';
import { differenceUnit, unitNamed } from '../../src/quantity/units.ts';
import { rational } from './arbitrary.ts';

const mm = unitNamed('mm');

const fixed = (text: string): FixedLimits => {
  const read = parseLimits(text);
  const limits = read.ok ? fixLimits(read.value, () => undefined) : undefined;
  if (limits === undefined) throw new Error(text);
  return limits;
};

const known = (spec: UncertaintySpec, unit = mm): Uncertainty => {
  const read = readUncertainty(spec, unit);
  if (!read.ok || read.value === undefined) throw new Error('no uncertainty');
  return read.value;
};

const guarded = (value: string, limits: string, spec: UncertaintySpec): string => {
  const q = quantity(value);
  const verdict = decideGuarded(q, fixed(limits), known(spec, q.unit));
  return verdict.ok ? verdict.value : verdict.fault.code;
};

describe('guarded, ILAC-G8:09/2019 4.2.3: within ≤ TL − U < undecided ≤ TL < outside', () => {
  // The zones are those of ILAC-G8:09/2019 4.2.3 (read); the rows are computed from them, with limits 24.9 to 25.1 and U 0.04. What the
  // guide calls a conditional fail is outside here.
  test.each([
    ['24.85 mm', 'outside'],
    ['24.90 mm', 'undecided'],
    ['24.95 mm', 'within'],
    ['25.06 mm', 'within'],
    ['25.10 mm', 'undecided'],
    ['25.14 mm', 'outside'],
  ])('%s is %s', (value, verdict) => {
    expect(guarded(value, '24.9 to 25.1 mm', { uncertainty: '0.04 mm' })).toBe(verdict);
  });

  test.each([
    ['24.8999 mm', 'outside'],
    ['24.9 mm', 'undecided'],
    ['24.9399 mm', 'undecided'],
    ['24.94 mm', 'within'],
    ['25.06 mm', 'within'],
    ['25.0601 mm', 'undecided'],
    ['25.1 mm', 'undecided'],
    ['25.1001 mm', 'outside'],
  ])('the edges as written: %s is %s', (value, verdict) => {
    expect(guarded(value, '24.9 to 25.1 mm', { uncertainty: '0.04 mm' })).toBe(verdict);
    expect(guarded(value, '24.9 to 25.1 mm', { uncertainty: '40 µm' })).toBe(verdict);
  });

  test('one limit alone, and a limit with its end excluded', () => {
    expect(guarded('0.16 mm', 'at most 0.2 mm', { uncertainty: '0.04 mm' })).toBe('within');
    expect(guarded('0.17 mm', 'at most 0.2 mm', { uncertainty: '0.04 mm' })).toBe('undecided');
    expect(guarded('0.2 mm', 'at most 0.2 mm', { uncertainty: '0.04 mm' })).toBe('undecided');
    expect(guarded('0.2 mm', 'less than 0.2 mm', { uncertainty: '0.04 mm' })).toBe('outside');
    expect(guarded('22 °C', 'at least 20 °C', { uncertainty: '2 °C' })).toBe('within');
    expect(guarded('71 °F', 'at least 20 °C', { uncertainty: '2 °C' })).toBe('undecided');
  });

  test('refuses 2U not smaller than the zone', () => {
    expect(guarded('25 mm', '24.9 to 25.1 mm', { uncertainty: '0.1 mm' })).toBe('uncertainty');
    expect(guarded('25 mm', '24.9 to 25.1 mm', { uncertainty: '0.0999 mm' })).toBe('within');
    expect(guarded('25 mm', '24.9 to 25.1 mm', { uncertainty: '1 mm' })).toBe('uncertainty');
    const refused = decideGuarded(quantity('25 mm'), fixed('24.9 to 25.1 mm'), known({ uncertainty: '0.1 mm' }));
    expect(refused.ok ? '' : refused.fault.kind).toBe('refused');
  });

  test('takes a percentage of the value', () => {
    // 4 % of 180 in·lb is 7.2: 160 + 7.2 ≤ 180 ≤ 190 − 7.2
    expect(guarded('180 in·lb', '160 to 190 in·lb', { uncertainty: '4 %' })).toBe('within');
    expect(guarded('185 in·lb', '160 to 190 in·lb', { uncertainty: '4 %' })).toBe('undecided');
    expect(guarded('175 in·lb', '160 to 190 in·lb', { uncertainty: '10 %' })).toBe('uncertainty');
  });
});

describe('uncertainty of a tool', () => {
  // GUM 4.3.7 (rectangular distribution) gives d/√12; the six rows are computed from it.
  test.each([
    ['1 mm', 0.288675],
    ['0.1 mm', 0.0288675],
    ['0.05 mm', 0.0144338],
    ['0.01 mm', 0.00288675],
    ['0.001 mm', 0.000288675],
    ['1/64 mm', 0.00451055],
  ])('resolution %s alone: u %d', (resolution, u) => {
    const squared = expandedSquared(known({ resolution }), quantity('1 mm'), mm);
    expect(Math.abs(Math.sqrt(squared.valueOf()) / 2 / u - 1)).toBeLessThan(1e-5);
  });

  test('resolution 0.01 and calibration u 0.01 give U 0.020817 (computed); a certificate’s U is halved first', () => {
    const u = known({ resolution: '0.01 mm', standard: '0.01 mm' });
    const halved = known({ resolution: '0.01 mm', calibration: '0.02 mm' });
    const squared = expandedSquared(u, quantity('1 mm'), mm);
    expect(Math.sqrt(squared.valueOf())).toBeCloseTo(0.020817, 6);
    expect(expandedSquared(halved, quantity('1 mm'), mm).equals(squared)).toBe(true);
    // Exactly 4(d²/12 + u²).
    expect(squared.equals(new Fraction('0.0001').div(12).add('0.0001').mul(4))).toBe(true);
  });

  test('decides at an irrational edge by squares, not by a rounded root', () => {
    // U = 1/√3 mm exactly: U² = 4·1²/12 = 1/3; the room must be at least 0.57735026918962576…
    expect(guarded('9.42264973081037 mm', 'at most 10 mm', { resolution: '1 mm' })).toBe('within');
    expect(guarded('9.42264973081038 mm', 'at most 10 mm', { resolution: '1 mm' })).toBe('undecided');
  });

  test('refuses a bare, foreign or empty value; no value means that nothing is known', () => {
    const read = (spec: UncertaintySpec): string => {
      const outcome = readUncertainty(spec, mm);
      return outcome.ok
        ? outcome.value === undefined
          ? 'nothing known'
          : 'known'
        : `${outcome.fault.kind} ${outcome.fault.code}`;
    };
    expect(read({})).toBe('nothing known');
    expect(read({ uncertainty: '0.04' })).toBe('wrong unit-missing');
    expect(read({ uncertainty: '0.04 N' })).toBe('wrong unit-dimension');
    expect(read({ uncertainty: '0 mm' })).toBe('wrong uncertainty-unreadable');
    expect(read({ uncertainty: '-0.1 mm' })).toBe('wrong uncertainty-unreadable');
    expect(read({ resolution: '2 %' })).toBe('wrong unit-dimension');
  });
});

describe('a calculated result carries an error bound of 1e-9', () => {
  const calculated = (value: string, limits: string): string => decideCalculated(quantity(value), fixed(limits));
  test.each([
    ['5 mm', 'at most 5 mm', 'undecided'],
    ['5.000000005 mm', 'at most 5 mm', 'undecided'],
    ['4.9999999951 mm', 'at most 5 mm', 'undecided'],
    ['4.99999999 mm', 'at most 5 mm', 'within'],
    ['5.00000001 mm', 'at most 5 mm', 'outside'],
    ['0.5 mm', 'at most 0.5000000011 mm', 'within'],
    ['0.5 mm', 'at most 0.5000000009 mm', 'undecided'],
    ['0.2 in', '5.08 to 6 mm', 'undecided'],
    ['4 mm', '5 to 6 mm', 'outside'],
    ['5.5 mm', '5 to 6 mm', 'within'],
  ])('%s in %s is %s', (value, limits, verdict) => {
    expect(calculated(value, limits)).toBe(verdict);
  });
});

describe('the edge of the error itself', () => {
  test.each([
    ['1000000000 mm', 'at most 999999999 mm', 'undecided'],
    ['1000000000 mm', 'at most 1000000001 mm', 'undecided'],
    ['1000000000 mm', 'at most 1000000001.1 mm', 'within'],
    ['1000000000 mm', 'at most 999999998.9 mm', 'outside'],
    ['-1000000000 mm', 'at least -999999999 mm', 'undecided'],
    ['-1000000000 mm', 'at least -999999998.9 mm', 'outside'],
    ['0 mm', 'at least -0.000000001 mm', 'undecided'],
    ['0 mm', 'at least -0.0000000011 mm', 'within'],
  ])('%s in %s is %s', (value, limits, verdict) => {
    expect(decideCalculated(quantity(value), fixed(limits))).toBe(verdict);
  });

  test.each([
    ['10.00000001 mm', '10 mm', true],
    ['10.0000000101 mm', '10 mm', false],
    ['9.99999999 mm', '10 mm', true],
    ['9.9999999899 mm', '10 mm', false],
    ['0.500000001 mm', '0.5 mm', true],
    ['0.5000000011 mm', '0.5 mm', false],
    ['25.4 mm', '1 in', true],
    ['1 in', '25.4 mm', true],
    ['25.4001 mm', '1 in', false],
  ])('%s agrees with the calculated %s: %s', (value, calculated, agrees) => {
    expect(agreesWithCalculated(quantity(value), quantity(calculated))).toBe(agrees);
  });
});

describe('what is known of a tool, in this order', () => {
  const U = (spec: UncertaintySpec, value = '1 mm'): number => {
    const q = quantity(value);
    return Math.sqrt(expandedSquared(known(spec, q.unit), q, differenceUnit(q.unit)).valueOf());
  };

  test('its own uncertainty before anything else, then its resolution with u, then u alone', () => {
    expect(U({ uncertainty: '0.04 mm', resolution: '1 mm', calibration: '1 mm' })).toBeCloseTo(0.04, 12);
    expect(U({ calibration: '0.02 mm' })).toBeCloseTo(0.02, 12);
    expect(U({ standard: '0.02 mm' })).toBeCloseTo(0.04, 12);
    expect(U({ standard: '0.02 mm', calibration: '1 mm' })).toBeCloseTo(0.04, 12);
    expect(U({ uncertainty: '40 µm' })).toBeCloseTo(0.04, 12);
  });

  test('a percentage is a share of the value, of a percentage it is itself one', () => {
    expect(U({ uncertainty: '4 %' }, '200 N·m')).toBeCloseTo(8, 12);
    expect(U({ uncertainty: '4 percent' }, '-200 N·m')).toBeCloseTo(8, 12);
    expect(U({ uncertainty: '4 %' }, '50 %')).toBeCloseTo(4, 12);
    expect(U({ uncertainty: '1 °C' }, '20 °C')).toBeCloseTo(1, 12);
    expect(U({ uncertainty: '1 °C' }, '68 °F')).toBeCloseTo(1.8, 12);
  });

  test('what cannot be read is named by its key', () => {
    for (const key of ['uncertainty', 'resolution', 'calibration', 'standard'] as const)
      for (const text of ['x', '0 mm', '3 N']) {
        const read = readUncertainty({ [key]: text }, mm);
        expect(read.ok ? '' : `${read.fault.kind} ${read.fault.where}`).toBe(`wrong ${key}`);
      }
  });

  test('limits whose low end is above the high one, once their values are known, leave no zone', () => {
    const limits = {
      text: 'low to high',
      low: { at: quantity('5 mm'), included: true },
      high: { at: quantity('4 mm'), included: true },
    };
    const verdict = decideGuarded(quantity('4.5 mm'), limits, known({ uncertainty: '0.001 mm' }));
    expect(verdict.ok ? '' : verdict.fault.code).toBe('uncertainty');
  });
});

describe('laws', () => {
  const limits = fixed('-3 to 7 mm');
  const rank = { outside: 0, undecided: 1, within: 2 } as const;
  const at = (amount: Fraction) => makeQuantity(amount, mm);

  test('is monotone: a value farther out is never judged better', () => {
    fc.assert(
      fc.property(rational, rational, fc.integer({ min: 1, max: 49 }), (a, b, tenths) => {
        const [near, far] = a.sub(2).abs().lte(b.sub(2).abs()) ? [a, b] : [b, a]; // 2 is the middle
        const u: Uncertainty = { expanded: at(new Fraction(tenths, 10)) };
        const [one, two] = [decideGuarded(at(near), limits, u), decideGuarded(at(far), limits, u)];
        return (
          rank[decide(at(near), limits)] >= rank[decide(at(far), limits)] &&
          one.ok &&
          two.ok &&
          rank[one.value] >= rank[two.value] &&
          rank[decideCalculated(at(near), limits)] >= rank[decideCalculated(at(far), limits)]
        );
      }),
    );
  });

  test('guarded never says within where plain says outside, and agrees on outside', () => {
    fc.assert(
      fc.property(rational, (a) => {
        const value = at(a.div(10_000));
        const verdict = decideGuarded(value, limits, { expanded: at(new Fraction(1)) });
        return verdict.ok && (verdict.value === 'outside') === (decide(value, limits) === 'outside');
      }),
    );
  });
});
