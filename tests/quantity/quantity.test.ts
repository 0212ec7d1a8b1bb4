import fc from 'fast-check';
import Fraction from 'fraction.js';
import { describe, expect, test } from 'vitest';
import {
  compareQuantities,
  convert,
  makeQuantity,
  minus,
  parseQuantity,
  plus,
  printBoth,
  printQuantity,
  quantity,
  scale,
} from '../../src/quantity/quantity.ts';
import { decimalFraction, decimalText, fromFloat, printNumber } from '../../src/quantity/rational.ts';
import { unitNamed } from '../../src/quantity/units.ts';
import { anyUnit, decimal, rational, unitPair } from './arbitrary.ts';
import { pieces, randomTexts } from './random-texts.ts';

const mm = unitNamed('mm');

const read = (text: string, unit = ''): string => {
  const outcome = parseQuantity(text, unit === '' ? {} : { unit: unitNamed(unit) });
  return outcome.ok ? `${outcome.value.amount.toFraction(true)} ${outcome.value.unit.name}` : outcome.fault.code;
};

describe('what people type', () => {
  test.each([
    ['12.5 mm', '12 1/2 mm'],
    ['12.7mm', '12 7/10 mm'],
    ['0,5 mm', '1/2 mm'],
    [',5 mm', '1/2 mm'],
    ['.5 mm', '1/2 mm'],
    ['1/2 in', '1/2 in'],
    ['3/8"', '3/8 in'],
    ['1 3/4"', '1 3/4 in'],
    ['1-3/4 in', '1 3/4 in'],
    ['1-3/8 in', '1 3/8 in'],
    ['1½ in', '1 1/2 in'],
    ['1 ½ in', '1 1/2 in'],
    ['⅞ in', '7/8 in'],
    ['1⁄2 in', '1/2 in'],
    ['3/8”', '3/8 in'],
    ["15°30'", '15 1/2 °'],
    ['15° 30′', '15 1/2 °'],
    ['15°30′36″', '15 51/100 °'],
    ["-0°30'", '-1/2 °'],
    ['5 ft 6 in', '66 in'],
    ['5\'-6"', '66 in'],
    ['5\' 6-1/2"', '66 1/2 in'],
    ['3.6 Nm', '3 3/5 N·m'],
    ['32 in-lb', '32 in·lb'],
    ['70F', '70 °F'],
    ['-5 °C', '-5 °C'],
    ['−5 °C', '-5 °C'],
    ['+5 °C', '5 °C'],
    ['12.5\u2009mm', '12 1/2 mm'],
    ['12.5\u202fmm', '12 1/2 mm'],
    ['12.5\u00a0mm', '12 1/2 mm'],
    ['12\u202f500 N', '12500 N'],
    ['  12.5 mm \r\n', '12 1/2 mm'],
    ['11 h 50 min', '710 min'],
    ['0.123 mm', '123/1000 mm'],
    ['-0 mm', '0 mm'],
  ])('%s', (text, value) => {
    expect(read(text)).toBe(value);
  });

  test('a bare number has the unit of the reading, which also fixes the dimension', () => {
    expect(read('0.15', 'mm')).toBe('3/20 mm');
    expect(read('1/2', 'mm')).toBe('1/2 mm');
    expect(read('1/2 in', 'mm')).toBe('1/2 in');
    expect(read('20 lb', 'N')).toBe('20 lbf');
    expect(read('20 lb', 'kg')).toBe('20 lb');
    expect(read('20 N', 'mm')).toBe('unit-dimension');
    expect(read("5'", '°')).toBe('5 ′');
  });

  test.each([
    ['', 'quantity-unreadable'],
    [' ', 'quantity-unreadable'],
    ['-', 'quantity-unreadable'],
    ['mm', 'quantity-unreadable'],
    ['NaN', 'quantity-unreadable'],
    ['Infinity', 'quantity-unreadable'],
    ['-Infinity mm', 'quantity-unreadable'],
    ['1.234,5 mm', 'quantity-unreadable'],
    ['1,234.5 mm', 'quantity-unreadable'],
    ['1,234,567 mm', 'quantity-unreadable'],
    ['1,234 mm', 'quantity-ambiguous'],
    ['0,125 in', 'quantity-ambiguous'],
    ['1/0 in', 'quantity-unreadable'],
    ['1 1/0 in', 'quantity-unreadable'],
    ['1 5/4 in', 'quantity-unreadable'],
    ['1.5/2 in', 'quantity-unreadable'],
    ['1/2.5 in', 'quantity-unreadable'],
    ['1/2/3 in', 'quantity-unreadable'],
    ['1e5 mm', 'quantity-unreadable'],
    ['0x10 mm', 'quantity-unreadable'],
    ['5. mm', 'quantity-unreadable'],
    ['1..5 mm', 'quantity-unreadable'],
    ['--5 mm', 'quantity-unreadable'],
    ['12 mm in', 'quantity-unreadable'],
    ['3 mm 4 in', 'quantity-unreadable'],
    ['5 in 6 ft', 'quantity-unreadable'],
    ['5 ft 14 in', 'quantity-unreadable'],
    ["15.5°30'", 'quantity-unreadable'],
    ["15°70'", 'quantity-unreadable'],
    ['15°30', 'quantity-unreadable'],
    ['12 500 N', 'quantity-unreadable'],
    ['12', 'unit-missing'],
    ['5 gal', 'quantity-ambiguous'],
    ['8 gph', 'quantity-ambiguous'],
    ['12 mmm', 'unit-unknown'],
    ['12 furlongs', 'unit-unknown'],
    ['١٢ mm', 'quantity-unreadable'],
    [`${'9'.repeat(31)} mm`, 'quantity-unreadable'],
    [`1${' '.repeat(300)}mm`, 'quantity-unreadable'],
    ['12\u0000mm', 'unit-unknown'],
  ])('refused: %j is %s', (text, code) => {
    expect(read(text)).toBe(code);
  });

  test('every refusal says what to do', () => {
    for (const text of ['', '1,234 mm', '5 gal', '12 mmm', '12', '1/0 in']) {
      const outcome = parseQuantity(text);
      expect(outcome.ok ? '' : outcome.fault.todo).toMatch(/^write /);
      expect(outcome.ok ? '' : outcome.fault.kind).toBe('usage');
    }
    const gallons = parseQuantity('5 gal');
    expect(gallons.ok ? '' : gallons.fault.todo).toBe('write US gal or imp gal');
  });
});

describe('printing', () => {
  test('is exact where the decimals end, else to six significant digits', () => {
    expect(printNumber(new Fraction('0.15'))).toBe('0.15');
    expect(printNumber(new Fraction(1, 3))).toBe('0.333333');
    expect(printNumber(new Fraction(-2, 3))).toBe('-0.666667');
    expect(printNumber(new Fraction(1, 64))).toBe('0.015625');
    expect(printNumber(new Fraction(3000, 14))).toBe('214.286');
    expect(printNumber(new Fraction(10_000_000, 3))).toBe('3333333');
    expect(printNumber(new Fraction(0))).toBe('0');
    expect(printNumber(new Fraction(1200))).toBe('1200');
    expect(printNumber(new Fraction(999_999_999n, 1_000_000_001n))).toBe('1');
  });

  test('gives the other system beside the form that was typed', () => {
    const both = (text: string, unit = mm): string => {
      const q = parseQuantity(text, { unit });
      return q.ok ? printBoth(q.value) : q.fault.code;
    };
    expect(both('0.15 mm')).toBe('0.15 mm (0.00591 in)');
    expect(both('0.15')).toBe('0.15 mm (0.00591 in)');
    expect(both('1-3/8 in')).toBe('1-3/8 in (34.93 mm)');
    expect(both('20 °C', unitNamed('°C'))).toBe('20 °C (68 °F)');
    expect(both('3 °C', unitNamed('°C', 'temperature-difference'))).toBe('3 °C (5.4 °F)');
    expect(both('7', unitNamed('count'))).toBe('7');
  });

  test('writes one turn in the singular, and a count without a unit', () => {
    expect(printQuantity(makeQuantity(new Fraction(1), unitNamed('turns')))).toBe('1 turn');
    expect(printQuantity(makeQuantity(new Fraction(-1), unitNamed('turns')))).toBe('-1 turn');
    expect(printQuantity(makeQuantity(new Fraction(5, 2), unitNamed('turns')))).toBe('2.5 turns');
    expect(printQuantity(makeQuantity(new Fraction(14), unitNamed('count')))).toBe('14');
  });

  test('for programs: plain digits, at least six, without an exponent', () => {
    expect(decimalText(new Fraction('0.2515'))).toBe('0.251500');
    expect(decimalText(new Fraction(3000, 14))).toBe('214.285714286');
    expect(decimalText(new Fraction('0.00000012'))).toBe('0.000000120000');
    expect(decimalText(new Fraction(-5))).toBe('-5.00000');
  });

  test('law: a number printed exactly is read back exactly', () => {
    fc.assert(
      fc.property(decimal, anyUnit, ({ amount }, unit) => {
        const printed = printQuantity(makeQuantity(amount, unit));
        const back = parseQuantity(printed, { unit });
        return back.ok && back.value.unit === unit && back.value.amount.equals(amount);
      }),
    );
  });

  test('law: a computed double survives as a fraction to 15 digits', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e15, max: 1e15 }), (value) => {
        const back = fromFloat(value).valueOf();
        return value === 0 || Math.abs(value) < 1e-200 ? Math.abs(back) < 1e-199 : Math.abs(back / value - 1) < 1e-14;
      }),
    );
    expect(() => fromFloat(Number.NaN)).toThrow(RangeError);
  });
});

describe('arithmetic', () => {
  test('the difference of two temperatures is a difference; other sums of temperatures are bugs', () => {
    const difference = minus(quantity('20 °C'), quantity('50 °F'));
    expect(printQuantity(difference)).toBe('10 °C');
    expect(difference.unit.dimension).toBe('temperature-difference');
    expect(printQuantity(plus(quantity('20 °C'), quantity('18 °F', 'temperature-difference')))).toBe('30 °C');
    expect(printQuantity(minus(quantity('20 °C'), quantity('3 K', 'temperature-difference')))).toBe('17 °C');
    expect(() => plus(quantity('20 °C'), quantity('20 °C'))).toThrow(RangeError);
    expect(() => scale(quantity('20 °C'), new Fraction(2))).toThrow(RangeError);
  });

  test('mixing dimensions throws, because it is a bug', () => {
    expect(() => compareQuantities(quantity('1 mm'), quantity('1 N'))).toThrow(RangeError);
    expect(() => compareQuantities(quantity('1 °C'), quantity('1 °C', 'temperature-difference'))).toThrow(RangeError);
    expect(() => convert(quantity('1 mm'), unitNamed('N'))).toThrow(RangeError);
  });

  test('law: comparison is total and exact, and does not depend on units', () => {
    fc.assert(
      fc.property(rational, rational, unitPair, (a, b, [from, to]) => {
        const [one, two] = [makeQuantity(a, from), makeQuantity(b, from)];
        const order = compareQuantities(one, two);
        return (
          order === Math.sign(a.compare(b)) &&
          compareQuantities(two, one) === 0 - order + 0 &&
          compareQuantities(convert(one, to), two) === order &&
          compareQuantities(one, convert(two, to)) === order
        );
      }),
    );
  });

  test('law: plus and minus undo each other', () => {
    fc.assert(
      fc.property(rational, rational, unitPair, (a, b, [from, to]) => {
        fc.pre(from.dimension !== 'temperature');
        const [one, two] = [makeQuantity(a, from), makeQuantity(b, to)];
        return compareQuantities(minus(plus(one, two), two), one) === 0;
      }),
    );
  });
});

/** How many random texts to try: a few in the daily run, or as many as FUZZ says, as in `FUZZ=1000000`. */
const tries = Number(process.env['FUZZ'] ?? 20_000);

test(`${tries} random texts: a quantity or a fault, never a throw, NaN or infinity`, { timeout: 600_000 }, () => {
  const text = fc.oneof(
    fc.array(fc.constantFrom(...pieces), { maxLength: 12 }).map((parts) => parts.join('')),
    fc.string({ unit: 'binary', maxLength: 250 }),
    fc.tuple(decimal, fc.constantFrom(...pieces)).map(([number, piece]) => `${number.text} ${piece}`),
  );
  const unit = fc.option(anyUnit, { nil: undefined });
  fc.assert(
    fc.property(text, unit, (typed, asked) => {
      const read = parseQuantity(typed, asked === undefined ? {} : { unit: asked });
      if (!read.ok) return read.fault.kind === 'usage' && read.fault.todo !== '' && read.fault.code !== '';
      const value = read.value.amount.valueOf();
      return (
        Number.isFinite(value) &&
        read.value.text === typed &&
        (asked === undefined || read.value.unit.dimension === asked.dimension)
      );
    }),
    { numRuns: tries },
  );
});

test(`${tries} texts from a seed, as in the benchmark: a quantity or a fault, never a throw, NaN or infinity`, () => {
  let read = 0;
  for (const text of randomTexts(tries, 2026)) {
    const one = parseQuantity(text);
    if (one.ok) expect(Number.isFinite(one.value.amount.valueOf()), text).toBe(true);
    else expect([one.fault.kind, one.fault.todo === ''], text).toEqual(['usage', false]);
    read += one.ok ? 1 : 0;
  }
  // Neither all nonsense nor all readable, so that both branches are tried.
  expect(read / tries).toBeGreaterThan(0.02);
  expect(read / tries).toBeLessThan(0.5);
});

test('law: a plain decimal equals the library’s own reduced fraction, whatever its sign and length', () => {
  const most = Number.MAX_SAFE_INTEGER;
  fc.assert(
    fc.property(fc.integer({ min: -most, max: most }), fc.integer({ min: 0, max: 15 }), (whole, decimals) => {
      const made = decimalFraction(whole, decimals);
      expect(made).toStrictEqual(new Fraction(BigInt(whole), 10n ** BigInt(decimals)));
      expect(made).toBeInstanceOf(Fraction);
    }),
    {
      examples: [
        [0, 3],
        [-5, 1],
        [1_000_000, 6],
        [125, 3],
      ],
    },
  );
});

describe('numbers and units as people write them', () => {
  // Unicode's own decomposition of each fraction, UnicodeData.txt: ⅞ is 7⁄8.
  test.each([...'¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞'])('%s is the fraction of Unicode', (glyph) => {
    const [over = '', under = ''] = glyph.normalize('NFKD').split('\u2044');
    expect(read(`${glyph} in`)).toBe(`${over}/${under} in`);
    expect(read(`-2${glyph} in`)).toBe(`-2 ${over}/${under} in`);
    expect(read(`2-${glyph} in`)).toBe(`2 ${over}/${under} in`);
  });

  test.each([
    ['2 lb 3 oz', '35 oz'],
    ['1 d 2 h 3 min 4 s', '93784 s'],
    ['-5 ft 6 in', '-66 in'],
    ['12-3/4 in', '12 3/4 in'],
    ['10 15/16 in', '10 15/16 in'],
    ['12½ in', '12 1/2 in'],
    ['13/64 in', '13/64 in'],
    ['5 ft 11.5 in', '71 1/2 in'],
    ['5′ 6″', '66 in'],
    ['1 ft +6 in', '18 in'],
    ['0°0\'1"', '1/3600 °'],
    ["5''", '5 in'],
    ['1\u2009234\u2009567 mm', '1234567 mm'],
    ['5\u2009000\u202f000.5 mm', '5000000 1/2 mm'],
    ['1,5 mm', '1 1/2 mm'],
    ['1,5000 mm', '1 1/2 mm'],
    ['1.500 mm', '1 1/2 mm'],
    [`${'9'.repeat(30)} mm`, `${'9'.repeat(30)} mm`],
    ['3 N‐m', '3 N·m'],
    ['3 N‑m', '3 N·m'],
    ['3 N•m', '3 N·m'],
    ['12 μm', '12 µm'],
    ['1 \u2126', '1 Ω'],
    ['4 ˚C', '4 °C'],
    ['5 kg per L', '5 kg/L'],
    ['5 per cent', '5 %'],
    ['5 Inches', '5 in'],
  ])('%s', (text, value) => {
    expect(read(text)).toBe(value);
  });

  test.each([
    ['5.5 ft 6 in', 'only the last part may have a fraction'],
    ['5 ft 12 in', 'in must be less than one ft'],
    ['1 h 60 min', 'min must be less than one h'],
    ['1 lb 16 oz', 'oz must be less than one lb'],
    ['1 h 1 d', 'more than one number or unit'],
    ['1 h 2 h', 'more than one number or unit'],
    ['5 ft 6 lb', 'more than one number or unit'],
    ['1 d 1 h 1 min 1 s 1 ms', 'more than one number'],
    ['5 ft 6', 'more than one number'],
    ['1234\u2009567 mm', 'more than one number'],
    ['0.123\u2009456 mm', 'more than one number'],
    ['1e-5 mm', 'it has an exponent'],
    ['1E5 mm', 'it has an exponent'],
    ['½½ in', 'two numbers run into each other'],
    ['1/2½ in', 'two numbers run into each other'],
    ['1.5.5 mm', '1.5.5 is not one number'],
    ['5 mm mm', 'it has two units'],
    [`0.${'1'.repeat(30)} mm`, 'more than 30 digits'],
    ['', 'nothing was entered'],
    [`1${' '.repeat(300)}mm`, 'longer than 200 characters'],
    ['5 qwertyuiop', '"qwertyuiop" is not a unit'],
    ['5 constructor', '"constructor" is not a unit'],
    ['5 gal', '"gal" may mean US gal or imp gal'],
    ['01,500 mm', '"01,500 mm" may mean 01.500 or 1500'],
    [',500 mm', '",500 mm" may mean 0.500 or 500'],
    ['5', '"5" has no unit'],
  ])('refused, saying why: %j', (text, why) => {
    const outcome = parseQuantity(text);
    expect(outcome.ok ? '' : outcome.fault.what).toContain(why);
  });

  test('what was typed is quoted up to 40 characters', () => {
    const what = (length: number): string => {
      const outcome = parseQuantity('x'.repeat(length));
      return outcome.ok ? '' : outcome.fault.what;
    };
    expect(what(40)).toContain(`"${'x'.repeat(40)}" `);
    expect(what(41)).toContain(`"${'x'.repeat(40)}…" `);
  });

  test('an angle in feet and inches, and a length in degrees, are each read as what is asked for', () => {
    const asked = (text: string, dimension: 'angle' | 'length' | 'mass') => {
      const outcome = parseQuantity(text, { dimension });
      return outcome.ok ? `${outcome.value.amount.toFraction(true)} ${outcome.value.unit.name}` : outcome.fault.code;
    };
    expect(asked('5\' 6"', 'angle')).toBe('17/200 °');
    expect(asked('5\' 6"', 'length')).toBe('66 in');
    expect(asked("15°30'", 'length')).toBe('quantity-unreadable');
    expect(asked('5 ft 6 in', 'mass')).toBe('quantity-unreadable');
    expect(asked('5 lb', 'mass')).toBe('5 lb');
  });

  test('the other dimension is named with its article', () => {
    const what = (text: string, unit: string): string => {
      const outcome = parseQuantity(text, { unit: unitNamed(unit) });
      return outcome.ok ? '' : outcome.fault.what;
    };
    expect(what('5 °', 'mm')).toBe('"5 °" is an angle, but a length is asked for');
    expect(what('5 g/m²', '°')).toBe('"5 g/m²" is an areal mass, but an angle is asked for');
  });
});
