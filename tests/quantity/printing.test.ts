import fc from 'fast-check';
import Fraction from 'fraction.js';
import { describe, expect, test } from 'vitest';
import { parseQuantity, printBoth, quantity } from '../../src/quantity/quantity.ts';
import { printNumber, toSignificant } from '../../src/quantity/rational.ts';

describe('printing, to the digit', () => {
  test.each([
    ['1234567.891', '1234567.891', '1234568'],
    ['1234567890', '1234567890', '1234567890'],
    ['12345678901', '12345678901', '12345678901'],
    ['0.0123456789', '0.0123456789', '0.0123'],
    ['0.01234567891', '0.0123457', '0.0123'],
    ['0.000123456789', '0.000123457', '0.000123'],
    ['99999.95', '99999.95', '100000'],
    ['-0.00049995', '-0.00049995', '-0.0005'],
    ['0', '0', '0'],
  ])('%s is printed as %s, and to three digits as %s', (text, printed, three) => {
    expect(printNumber(new Fraction(text))).toBe(printed);
    expect(toSignificant(new Fraction(text), 3)).toBe(three);
  });

  test('law: to so many digits it is what JavaScript rounds to, whole digits kept', () => {
    const parts = fc.tuple(fc.integer({ min: -999_999, max: 999_999 }), fc.integer({ min: 1, max: 9999 }));
    fc.assert(
      fc.property(parts, fc.integer({ min: 1, max: 12 }), ([over, under], digits) => {
        const value = over / under;
        const whole = Math.max(1, Math.trunc(Math.abs(value)).toString().length);
        const theirs = Number(value.toPrecision(Math.max(digits, value === 0 || Math.abs(value) < 1 ? digits : whole)));
        const ours = Number(toSignificant(new Fraction(over, under), digits));
        // A double halfway between two texts may be rounded either way.
        expect(Math.abs(ours - theirs)).toBeLessThanOrEqual(Math.abs(value) * 10 ** (1 - digits) + 1e-12);
        expect(Math.abs(ours - value)).toBeLessThanOrEqual(Math.abs(value) * 0.5 * 10 ** (1 - digits) * 1.0001 + 1e-12);
      }),
    );
  });

  test('beside the other system it has three to six digits, as many as were typed', () => {
    const both = (text: string): string => {
      const q = parseQuantity(text);
      return q.ok ? printBoth(q.value) : q.fault.code;
    };
    expect(both('1 mm')).toBe('1 mm (0.0394 in)');
    expect(both('123.4 mm')).toBe('123.4 mm (4.858 in)');
    expect(both('123.456 mm')).toBe('123.456 mm (4.86047 in)');
    expect(both('1234.5678 mm')).toBe('1234.5678 mm (48.605 in)');
    expect(both('0.00015 mm')).toBe('0.00015 mm (0.00000591 in)');
    expect(both('-0.5 mm')).toBe('-0.5 mm (-0.0197 in)');
    expect(both('5  Nm')).toBe('5 Nm (44.3 in·lb)');
    expect(both('5 turns')).toBe('5 turns');
    expect(printBoth({ ...quantity('5 mm'), text: '' })).toBe('5 mm (0.197 in)');
    expect(printBoth({ ...quantity('0.5 mm'), text: '½' })).toBe('0.5 mm (0.0197 in)');
  });
});
