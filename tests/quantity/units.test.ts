import fc from 'fast-check';
import Fraction from 'fraction.js';
import { unit as reference } from 'mathjs';
import { describe, expect, test } from 'vitest';
import { convert, makeQuantity, quantity, toBase } from '../../src/quantity/quantity.ts';
import { dimensions, unitTable } from '../../src/quantity/unit-table.ts';
import { ambiguousUnit, findUnit, nearestUnit, otherUnit, unitNamed } from '../../src/quantity/units.ts';
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

describe('a general unit library agrees', () => {
  const names: readonly (readonly [string, string, string, string])[] = [
    ['in', 'inch', 'mm', 'mm'],
    ['ft', 'ft', 'm', 'm'],
    ['yd', 'yard', 'm', 'm'],
    ['thou', 'mil', 'µm', 'um'],
    ['in²', 'sqin', 'cm²', 'cm^2'],
    ['ft²', 'sqft', 'm²', 'm^2'],
    ['in³', 'cuin', 'cm³', 'cm^3'],
    ['lb', 'lbm', 'kg', 'kg'],
    ['oz', 'oz', 'g', 'g'],
    ['lbf', 'lbf', 'N', 'N'],
    ['kgf', 'kgf', 'N', 'N'],
    ['psi', 'psi', 'kPa', 'kPa'],
    ['bar', 'bar', 'MPa', 'MPa'],
    ['atm', 'atm', 'hPa', 'hPa'],
    ['in·lb', 'lbf inch', 'N·m', 'N m'],
    ['ft·lb', 'lbf ft', 'N·m', 'N m'],
    ['hp', 'hp', 'kW', 'kW'],
    ['°F', 'degF', '°C', 'degC'],
    ['°C', 'degC', 'K', 'K'],
    ['in/h', 'inch/hour', 'mm/h', 'mm/hour'],
    ['mph', 'mile/hour', 'km/h', 'km/hour'],
    ['h', 'hour', 's', 's'],
    ['arcmin', 'arcmin', '°', 'deg'],
    ['g/cm³', 'g/cm^3', 'kg/m³', 'kg/m^3'],
  ];
  test.each(names)('%s', (from, theirFrom, to, theirTo) => {
    const dimension = findUnit(from)?.dimension;
    const ours = convert(
      makeQuantity(new Fraction('37.3'), unitNamed(from)),
      unitNamed(to, dimension),
    ).amount.valueOf();
    const theirs = reference(37.3, theirFrom).toNumber(theirTo);
    expect(Math.abs(ours / theirs - 1)).toBeLessThan(1e-9);
  });
});

describe('temperatures', () => {
  // NIST SP 811 B.8: t/°C = (t/°F - 32)/1.8; the rows computed
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

describe('spellings', () => {
  const same: readonly (readonly [string, readonly string[]])[] = [
    [
      'in·lb',
      ['in-lb', 'in lb', 'in.lb', 'in·lbf', 'lbf·in', 'lb-in', 'in lbs', 'inch-pounds', 'in.-lb.', 'in⋅lb', 'INLB'],
    ],
    ['N·m', ['Nm', 'N m', 'N-m', 'N*m', 'nm', 'N.m']],
    ['ft·lb', ['ft-lb', 'lb·ft', 'lbf ft', 'foot-pounds']],
    ['°C', ['C', 'c', 'degC', 'deg C', '° C', '℃', 'º C', 'Celsius']],
    ['°F', ['F', 'f', 'deg F', '℉']],
    ['in', ['"', '″', '”', 'inch', 'IN', 'In.'.toLowerCase()]],
    ['mm', ['MM', 'millimetres']],
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
    expect(findUnit('mpa')?.name).toBe('MPa');
  });

  test('lb and oz and quotes follow the dimension asked for', () => {
    expect(findUnit('lb')?.dimension).toBe('mass');
    expect(findUnit('lb', 'force')?.name).toBe('lbf');
    expect(findUnit("'")?.name).toBe('ft');
    expect(findUnit("'", 'angle')?.name).toBe('′');
    expect(findUnit('in-lb', 'mass-moment')?.name).toBe('lb·in');
    expect(findUnit('mm', 'force')).toBeUndefined();
  });

  test('gal and its kin are never guessed', () => {
    for (const text of ['gal', 'gallons', 'gph', 'GPH', 'fl oz', 'qt', 'pt', 'gal/h'])
      expect([text, findUnit(text), ambiguousUnit(text) !== undefined]).toEqual([text, undefined, true]);
  });

  test('a slip is told its neighbour, nonsense is not', () => {
    expect(nearestUnit('mmm')).toBe('mm');
    expect(nearestUnit('inchs')).toBe('in');
    expect(nearestUnit('qwertyuiop')).toBeUndefined();
    expect(nearestUnit('x'.repeat(10_000))).toBeUndefined();
  });

  test('every printed name and every listed spelling finds its own unit', () => {
    for (const dimension of dimensions)
      for (const row of unitTable[dimension])
        for (const spelling of [row.name, ...(row.also ?? '').split(' ').filter((one) => one !== '')])
          expect([dimension, spelling, findUnit(spelling, dimension)?.name]).toEqual([dimension, spelling, row.name]);
  });

  test('every unit of the other system exists and leads somewhere else', () => {
    for (const dimension of dimensions)
      for (const row of unitTable[dimension])
        if (row.other !== undefined) {
          expect(unitTable[dimension].map((one) => one.name)).toContain(row.other);
          expect(otherUnit(unitNamed(row.name, dimension))?.name).toBe(row.other);
          expect(row.other).not.toBe(row.name);
        }
  });
});

test('law: there and back again is exactly the same', () => {
  fc.assert(
    fc.property(rational, unitPair, (amount, [from, to]) => {
      const back = convert(convert(makeQuantity(amount, from), to), from);
      return back.amount.equals(amount);
    }),
  );
});
