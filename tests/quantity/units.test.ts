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
  /** Each unit by the library's own name, with a factor where the library has it only through another unit, and the base unit. */
  const theirs: Readonly<
    Record<string, readonly [base: string, units: Readonly<Record<string, readonly [number, string]>>]>
  > = {
    length: [
      'm',
      {
        µm: [1, 'um'],
        mm: [1, 'mm'],
        cm: [1, 'cm'],
        m: [1, 'm'],
        km: [1, 'km'],
        in: [1, 'inch'],
        thou: [1, 'mil'],
        ft: [1, 'ft'],
        yd: [1, 'yard'],
        mi: [1, 'mile'],
        NM: [1852, 'm'],
      },
    ],
    area: ['m^2', { 'mm²': [1, 'mm^2'], 'cm²': [1, 'cm^2'], 'm²': [1, 'm^2'], 'in²': [1, 'sqin'], 'ft²': [1, 'sqft'] }],
    volume: [
      'm^3',
      {
        mL: [1, 'cm^3'],
        L: [1000, 'cm^3'],
        'cm³': [1, 'cm^3'],
        'm³': [1, 'm^3'],
        'US gal': [231, 'cuin'],
        'US qt': [231 / 4, 'cuin'],
        'US pt': [231 / 8, 'cuin'],
        'US fl oz': [231 / 128, 'cuin'],
        'imp gal': [4.54609, 'dm^3'],
        'imp qt': [4.54609 / 4, 'dm^3'],
        'imp pt': [4.54609 / 8, 'dm^3'],
        'imp fl oz': [4.54609 / 160, 'dm^3'],
        'in³': [1, 'cuin'],
        'ft³': [1, 'cuft'],
      },
    ],
    flow: [
      'm^3/s',
      {
        'L/h': [1, 'dm^3/hour'],
        'L/min': [1, 'dm^3/minute'],
        'L/s': [1, 'dm^3/s'],
        'mL/min': [1, 'cm^3/minute'],
        'mL/s': [1, 'cm^3/s'],
        'US gal/h': [231, 'cuin/hour'],
        'US gal/min': [231, 'cuin/minute'],
        'imp gal/h': [4.54609, 'dm^3/hour'],
        'imp gal/min': [4.54609, 'dm^3/minute'],
      },
    ],
    speed: [
      'm/s',
      {
        'mm/h': [1, 'mm/hour'],
        'mm/min': [1, 'mm/minute'],
        'mm/s': [1, 'mm/s'],
        'm/s': [1, 'm/s'],
        'in/h': [1, 'inch/hour'],
        'in/min': [1, 'inch/minute'],
        'ft/min': [1, 'ft/minute'],
        'ft/s': [1, 'ft/s'],
        'km/h': [1, 'km/hour'],
        kt: [1852, 'm/hour'],
        mph: [1, 'mile/hour'],
      },
    ],
    angle: ['deg', { '°': [1, 'deg'], '′': [1, 'arcmin'], '″': [1, 'arcsec'] }],
    turns: ['cycle', { turns: [1, 'cycle'] }],
    rotation: ['cycle/minute', { rpm: [1, 'cycle/minute'] }],
    force: ['N', { N: [1, 'N'], daN: [1, 'daN'], kN: [1, 'kN'], lbf: [1, 'lbf'], kgf: [1, 'kgf'] }],
    torque: [
      'N m',
      {
        'N·m': [1, 'N m'],
        'N·cm': [1, 'N cm'],
        'in·lb': [1, 'lbf inch'],
        'ft·lb': [1, 'lbf ft'],
        'in·oz': [1 / 16, 'lbf inch'],
        'kgf·m': [1, 'kgf m'],
        'kgf·cm': [1, 'kgf cm'],
      },
    ],
    mass: ['kg', { g: [1, 'g'], kg: [1, 'kg'], mg: [1, 'mg'], lb: [1, 'lbm'], oz: [1, 'oz'] }],
    'mass-moment': [
      'kg m',
      {
        'kg·m': [1, 'kg m'],
        'kg·mm': [1, 'kg mm'],
        'kg·cm': [1, 'kg cm'],
        'lb·in': [1, 'lbm inch'],
        'lb·ft': [1, 'lbm ft'],
      },
    ],
    'areal-mass': ['kg/m^2', { 'g/m²': [1, 'g/m^2'], 'kg/m²': [1, 'kg/m^2'], 'oz/yd²': [1, 'oz/sqyd'] }],
    density: [
      'kg/m^3',
      {
        'kg/L': [1, 'kg/dm^3'],
        'g/cm³': [1, 'g/cm^3'],
        'kg/m³': [1, 'kg/m^3'],
        'lb/US gal': [1 / 231, 'lbm/cuin'],
        'lb/imp gal': [1 / 4.54609, 'lbm/dm^3'],
      },
    ],
    pressure: [
      'Pa',
      {
        Pa: [1, 'Pa'],
        hPa: [1, 'hPa'],
        kPa: [1, 'kPa'],
        MPa: [1, 'MPa'],
        bar: [1, 'bar'],
        mbar: [1, 'mbar'],
        psi: [1, 'psi'],
        mmHg: [1, 'mmHg'],
        atm: [1, 'atm'],
        inHg: [25.4, 'mmHg'],
        'mmH₂O': [0.1, 'cmH2O'],
        'inH₂O': [2.54, 'cmH2O'],
      },
    ],
    temperature: ['K', { '°C': [1, 'degC'], '°F': [1, 'degF'], K: [1, 'K'] }],
    'temperature-difference': ['K', { '°C': [1, 'K'], '°F': [1, 'degR'], K: [1, 'K'] }],
    'temperature-time': ['K s', { '°C·h': [1, 'K hour'], '°C·d': [1, 'K day'], '°F·h': [1, 'degR hour'] }],
    time: ['s', { ms: [1, 'ms'], s: [1, 's'], min: [1, 'minute'], h: [1, 'hour'], d: [1, 'day'], wk: [1, 'week'] }],
    power: ['W', { W: [1, 'W'], kW: [1, 'kW'], hp: [1, 'hp'] }],
    voltage: ['V', { V: [1, 'V'], mV: [1, 'mV'] }],
    current: ['A', { A: [1, 'A'], mA: [1, 'mA'] }],
    resistance: ['ohm', { Ω: [1, 'ohm'], mΩ: [1, 'mohm'], kΩ: [1, 'kohm'] }],
  };

  /** The library has these to fewer digits than the source: its mmHg is 133.322 Pa, SP 811 prints 133.3224. */
  const looser: Readonly<Record<string, number>> = {
    atm: 1e-6,
    hp: 1e-6,
    mmHg: 4e-6,
    inHg: 4e-6,
    'mmH₂O': 1e-6,
    'inH₂O': 1e-6,
  };

  // The library has no percent and no count.
  const all = dimensions
    .filter((dimension) => dimension !== 'percent' && dimension !== 'count')
    .flatMap((dimension) => unitTable[dimension].map(({ name }) => [dimension, name] as const));

  test.each(all)('%s: %s', (dimension, name) => {
    const [base, units] = theirs[dimension] ?? ['', {}];
    const [times, unit] = units[name] ?? [Number.NaN, base];
    const ours = toBase(makeQuantity(new Fraction('37.3'), unitNamed(name, dimension))).valueOf();
    const expected = reference(37.3 * times, unit).toNumber(base);
    expect(Math.abs(ours / expected - 1)).toBeLessThan(looser[name] ?? 1e-9);
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
