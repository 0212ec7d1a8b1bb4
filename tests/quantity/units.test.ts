import fc from 'fast-check';
import Fraction from 'fraction.js';
import { unit as reference } from 'mathjs';
import { describe, expect, test } from 'vitest';
import { convert, makeQuantity, quantity, toBase } from '../../src/quantity/quantity.ts';
import { dimensions, unitTable } from '../../src/quantity/unit-table.ts';
import {
  ambiguousUnit,
  differenceUnit,
  findUnit,
  nearestUnit,
  otherUnit,
  unitNamed,
} from '../../src/quantity/units.ts';
import { siMeaning, siReadings, siSpellings } from '../../src/quantity/si-spellings.ts';
import { rational, unitPair } from './arbitrary.ts';

describe('factors, as printed in NIST SP 811 B.8 (to 7 digits) or exact by definition', () => {
  const printed: readonly (readonly [string, string, number])[] = [
    ['1 in', 'm', 0.0254], // exact, SP 811
    ['1 ft', 'm', 0.3048], // exact, SP 811
    ['1 lbf', 'N', 4.448222], // SP 811 B.8
    ['1 in·lb', 'N·m', 0.1129848], // SP 811 B.8
    ['1 ft·lb', 'N·m', 1.355818], // SP 811 B.8
    ['1 psi', 'Pa', 6894.757], // SP 811 B.8
    ['1 US gal', 'L', 3.785412], // SP 811 B.8
    ['1 imp gal', 'L', 4.54609], // SP 811 B.8
    ['1 oz', 'g', 28.34952], // SP 811 B.8
    ['1 US fl oz', 'mL', 29.57353], // SP 811 B.8
    ['1 inHg', 'Pa', 3386.389], // SP 811 B.8, conventional
    ['1 inH2O', 'Pa', 249.0889], // SP 811 B.8, conventional
  ];
  test.each(printed)('%s in %s is %d', (from, to, value) => {
    const q = quantity(from);
    const got = convert(q, unitNamed(to, q.unit.dimension)).amount.valueOf();
    expect(Math.abs(got / value - 1)).toBeLessThan(5e-7);
  });

  const exact: readonly (readonly [string, string, string])[] = [
    ['1 lb', 'kg', '0.45359237'], // SP 811, exact
    ['1 lbf', 'N', '4.4482216152605'], // 0.45359237 × 9.80665
    ['1 US gal', 'L', '3.785411784'], // 231 in³
    ['1 oz', 'g', '28.349523125'], // 1/16 lb
    ['5/32 in', 'mm', '3.96875'],
    ['3/32 in', 'mm', '2.38125'],
    ['1/64 in', 'mm', '0.396875'],
    ['12.7 mm', 'in', '0.5'],
  ];
  test.each(exact)('%s in %s is exactly %s', (from, to, value) => {
    const q = quantity(from);
    expect(convert(q, unitNamed(to, q.unit.dimension)).amount.equals(new Fraction(value))).toBe(true);
  });
});

describe('temperatures', () => {
  // NIST SP 811 B.8: t/°C = (t/°F - 32)/1.8; the rows are computed.
  test.each([
    [-40, '-40'],
    [32, '0'],
    [68, '20'],
    [77, '25'],
    [104, '40'],
    [212, '100'],
  ])('%d °F is %s °C', (fahrenheit, celsius) => {
    const q = convert(quantity(`${fahrenheit} °F`), unitNamed('°C', 'temperature'));
    expect(q.amount.equals(new Fraction(celsius))).toBe(true);
  });

  test('a difference has no offset: 5 °F is 2.78 °C, and 3 °C is 5.4 °F', () => {
    const five = convert(quantity('5 °F', 'temperature-difference'), unitNamed('°C', 'temperature-difference'));
    expect(five.amount.equals(new Fraction(25, 9))).toBe(true);
    const three = convert(quantity('3 °C', 'temperature-difference'), unitNamed('°F', 'temperature-difference'));
    expect(three.amount.equals(new Fraction('5.4'))).toBe(true);
  });

  test('0 °C is 273.15 K', () => {
    expect(toBase(quantity('0 °C')).equals(new Fraction('273.15'))).toBe(true);
  });
});

/** The general library's names: its base units, and its spelling of ours. */
const symbolsBase: Readonly<Record<string, string>> = {
  length: 'm',
  mass: 'kg',
  time: 's',
  current: 'A',
  voltage: 'V',
  power: 'W',
  force: 'N',
  pressure: 'Pa',
  resistance: 'ohm',
  frequency: 'Hz',
  volume: 'm^3',
  temperature: 'K',
  angle: 'rad',
  charge: 'A s',
};
const theirName = (spelling: string): string => spelling.replace('µ', 'u').replace('Ω', 'ohm').replace(/Ah$/, 'A hour');

describe('spellings', () => {
  const same: readonly (readonly [string, readonly string[]])[] = [
    [
      'in·lb',
      ['in-lb', 'in lb', 'in.lb', 'in·lbf', 'lbf·in', 'lb-in', 'in lbs', 'inch-pounds', 'in.-lb.', 'in⋅lb', 'INLB'],
    ],
    ['N·m', ['Nm', 'N m', 'N-m', 'N*m', 'N.m']],
    ['ft·lb', ['ft-lb', 'lb·ft', 'lbf ft', 'foot-pounds']],
    ['°C', ['C', 'c', 'degC', 'deg C', '° C', '℃', 'º C', 'Celsius']],
    ['°F', ['F', 'f', 'deg F', '℉']],
    ['in', ['"', '″', '”', 'inch', 'IN', 'In.'.toLowerCase()]],
    ['mm', ['millimetres', 'Millimetres']],
    ['US gal', ['US gallon', 'us gal', 'U.S. gal', 'gal US']],
    ['L/h', ['l/h', 'L / h', 'L per hour', 'lph']],
    ['mm²', ['mm2', 'mm^2', 'sq mm']],
    ['turns', ['turn', 'revs']],
    ['%', ['percent', 'pct', '% RH']],
  ];
  test.each(same)('%s', (name, spellings) => {
    for (const spelling of spellings) expect([spelling, findUnit(spelling)?.name]).toEqual([spelling, name]);
  });

  test('a prefix is never guessed from its case: mPa is not MPa', () => {
    expect(findUnit('mPa')).toBeUndefined();
    expect(findUnit('Mpa')).toBeUndefined();
    expect(findUnit('mpa')).toBeUndefined();
    expect(findUnit('MA')).toBeUndefined();
    expect(findUnit('MΩ')?.name).toBe('MΩ');
    expect(findUnit('Mohm')?.name).toBe('MΩ');
    expect(findUnit('mohm')?.name).toBe('mΩ');
    expect(findUnit('MOHM')).toBeUndefined();
  });

  test('law: every SI prefix before every symbol is read as what it means, or not at all', () => {
    const wrong = siSpellings().filter(({ spelling, dimension }) => {
      const found = findUnit(spelling, dimension);
      if (found === undefined) return false;
      const ours = found.factor.valueOf() * (dimension === 'angle' ? Math.PI / 180 : 1);
      return Math.abs(ours / reference(1, theirName(spelling)).toNumber(symbolsBase[dimension]) - 1) > 1e-9;
    });
    expect(wrong).toEqual([]);
    expect(siSpellings().filter(({ spelling, dimension }) => findUnit(spelling, dimension)).length).toBeGreaterThan(30);
  });

  test('law: letters in another case that leave two SI units open are no unit', () => {
    const guessed = siSpellings()
      .flatMap(({ spelling, dimension }) =>
        [spelling.toLowerCase(), spelling.toUpperCase()].map((typed) => ({ typed, dimension })),
      )
      .filter(({ typed, dimension }) => siMeaning(typed) === undefined && siReadings(typed, dimension).length > 1)
      .filter(
        ({ typed }) =>
          !Object.values(unitTable)
            .flat()
            .some(({ name }) => name === typed),
      )
      .filter(({ typed, dimension }) => findUnit(typed, dimension) !== undefined);
    expect(guessed).toEqual([]);
  });

  test.each([
    ['mpa', 'pressure', ['mPa', 'MPa']],
    ['MM', 'length', ['mm', 'Mm']],
    ['MOHM', 'resistance', ['mohm', 'Mohm']],
    ['nm', 'torque', undefined],
    ['MA', 'current', undefined],
    ['gr', 'mass', ['g', 'grain']],
  ] as const)('%s as a unit of %s may mean %j', (text, dimension, pair) => {
    expect(ambiguousUnit(text, dimension)).toEqual(pair);
  });

  test('nm is the nanometre to the SI, so it is a newton metre only where a torque is asked for', () => {
    expect(findUnit('nm')).toBeUndefined();
    expect(findUnit('nm', 'torque')?.name).toBe('N·m');
  });

  test('lb, oz and quotes follow the dimension asked for', () => {
    expect(findUnit('lb')?.dimension).toBe('mass');
    expect(findUnit('lb', 'force')?.name).toBe('lbf');
    expect(findUnit("'")?.name).toBe('ft');
    expect(findUnit("'", 'angle')?.name).toBe('′');
    expect(findUnit('in-lb', 'mass-moment')?.name).toBe('lb·in');
    expect(findUnit('mm', 'force')).toBeUndefined();
  });

  test('gal, qt, pt and fl oz are never guessed, because US and imperial ones differ', () => {
    for (const text of ['gal', 'gallons', 'gph', 'GPH', 'fl oz', 'qt', 'pt', 'gal/h'])
      expect([text, findUnit(text), ambiguousUnit(text) !== undefined]).toEqual([text, undefined, true]);
  });

  test('a slip is answered with the nearest unit, nonsense is not', () => {
    expect(nearestUnit('mmm')).toBe('mm');
    expect(nearestUnit('inchs')).toBe('in');
    expect(nearestUnit('qwertyuiop')).toBeUndefined();
    expect(nearestUnit('x'.repeat(10_000))).toBeUndefined();
  });

  test('a slip is looked for in 20 letters, a unit in 40', () => {
    expect(nearestUnit('')).toBeUndefined();
    expect(nearestUnit('x')).toBeUndefined();
    expect(nearestUnit('millimetrezzzzzzzzzzz')).toBeUndefined();
    expect(nearestUnit('celcius')).toBe('°C');
    expect(nearestUnit('millimetrexx')).toBe('mm');
    expect(nearestUnit('kilogramxz')).toBe('kg');
    expect(nearestUnit('psii')).toBe('psi');
    expect(findUnit(`in${' '.repeat(36)}lb`)?.name).toBe('in·lb');
    expect(findUnit(`in${' '.repeat(37)}lb`)).toBeUndefined();
  });

  test('a name of JavaScript is neither a unit nor ambiguous', () => {
    for (const name of ['constructor', 'toString', '__proto__'])
      expect([findUnit(name), ambiguousUnit(name)]).toEqual([undefined, undefined]);
    expect(() => unitNamed('furlong')).toThrow('no unit furlong');
    expect(() => unitNamed('mm', 'mass')).toThrow(RangeError);
  });

  test('a copy of a unit has the same counterpart, and the difference of temperatures is one of temperature differences', () => {
    expect(otherUnit({ ...unitNamed('mm') })?.name).toBe('in');
    expect(otherUnit(unitNamed('turns'))).toBeUndefined();
    expect(differenceUnit(unitNamed('°F')).dimension).toBe('temperature-difference');
    expect(differenceUnit(unitNamed('°F')).name).toBe('°F');
    expect(differenceUnit(unitNamed('mm'))).toBe(unitNamed('mm'));
  });

  test('case is forgiven where all letters have one, or in a word of more than four letters with a capital', () => {
    for (const [text, name] of [
      ['KG', 'kg'],
      ['Inches', 'in'],
      ['MILLIMETRES', 'mm'],
      ['Turns', 'turns'],
    ] as const)
      expect([text, findUnit(text)?.name]).toEqual([text, name]);
    for (const text of ['Kg', 'Psi', 'inCHES', 'kGf', 'iNch'])
      expect([text, findUnit(text)]).toEqual([text, undefined]);
  });

  test('every printed name and every listed spelling finds its own unit', () => {
    for (const dimension of dimensions)
      for (const row of unitTable[dimension])
        for (const spelling of [row.name, ...(row.also ?? '').split(' ').filter((one) => one !== '')])
          expect([dimension, spelling, findUnit(spelling, dimension)?.name]).toEqual([dimension, spelling, row.name]);
  });

  test('every unit has an existing, different unit in the other system', () => {
    for (const dimension of dimensions)
      for (const row of unitTable[dimension])
        if (row.other !== undefined) {
          expect(unitTable[dimension].map((one) => one.name)).toContain(row.other);
          expect(otherUnit(unitNamed(row.name, dimension))?.name).toBe(row.other);
          expect(row.other).not.toBe(row.name);
        }
  });
});

test('law: converting there and back gives exactly the same', () => {
  fc.assert(
    fc.property(rational, unitPair, (amount, [from, to]) => {
      const back = convert(convert(makeQuantity(amount, from), to), from);
      return back.amount.equals(amount);
    }),
  );
});
