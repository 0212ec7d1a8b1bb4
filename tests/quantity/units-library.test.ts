import Fraction from 'fraction.js';
import { unit as reference } from 'mathjs';
import { describe, expect, test } from 'vitest';
import { makeQuantity, toBase } from '../../src/quantity/quantity.ts';
import { dimensions, unitTable } from '../../src/quantity/unit-table.ts';
import { unitNamed } from '../../src/quantity/units.ts';

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
    'mass-flow': [
      'kg/s',
      {
        'kg/h': [1, 'kg/hour'],
        'kg/min': [1, 'kg/minute'],
        'g/s': [1, 'g/s'],
        'g/min': [1, 'g/minute'],
        'lb/h': [1, 'lbm/hour'],
        'lb/min': [1, 'lbm/minute'],
      },
    ],
    'count-rate': ['Hz', { 'drops/min': [1 / 60, 'Hz'], 'drops/h': [1 / 3600, 'Hz'] }],
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
    angle: ['deg', { '°': [1, 'deg'], '′': [1, 'arcmin'], '″': [1, 'arcsec'], rad: [1, 'rad'], mrad: [1, 'mrad'] }],
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
        'daN·m': [10, 'N m'],
        'in·oz': [1 / 16, 'lbf inch'],
        'kgf·m': [1, 'kgf m'],
        'kgf·cm': [1, 'kgf cm'],
      },
    ],
    mass: ['kg', { g: [1, 'g'], kg: [1, 'kg'], mg: [1, 'mg'], lb: [1, 'lbm'], oz: [1, 'oz'], grain: [1, 'grain'] }],
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
        'lb/ft³': [1, 'lbm/cuft'],
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
        GPa: [1, 'GPa'],
        'N/mm²': [1, 'N/mm^2'],
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
    'absolute-pressure': [
      'Pa',
      {
        psia: [1, 'psi'],
        'kPa abs': [1, 'kPa'],
        'hPa abs': [1, 'hPa'],
        'bar abs': [1, 'bar'],
        'inHg abs': [25.4, 'mmHg'],
      },
    ],
    temperature: ['K', { '°C': [1, 'degC'], '°F': [1, 'degF'], K: [1, 'K'] }],
    'temperature-difference': ['K', { '°C': [1, 'K'], '°F': [1, 'degR'], K: [1, 'K'] }],
    'temperature-time': ['K s', { '°C·h': [1, 'K hour'], '°C·d': [1, 'K day'], '°F·h': [1, 'degR hour'] }],
    'temperature-rate': [
      'K/s',
      {
        '°C/min': [1, 'K/minute'],
        '°C/h': [1, 'K/hour'],
        '°F/min': [1, 'degR/minute'],
        '°F/h': [1, 'degR/hour'],
      },
    ],
    frequency: ['Hz', { Hz: [1, 'Hz'], kHz: [1, 'kHz'], MHz: [1, 'MHz'] }],
    charge: ['C', { Ah: [3600, 'C'], mAh: [3.6, 'C'] }],
    time: ['s', { ms: [1, 'ms'], s: [1, 's'], min: [1, 'minute'], h: [1, 'hour'], d: [1, 'day'], wk: [1, 'week'] }],
    power: ['W', { W: [1, 'W'], kW: [1, 'kW'], hp: [1, 'hp'] }],
    voltage: ['V', { V: [1, 'V'], mV: [1, 'mV'], kV: [1, 'kV'] }],
    current: ['A', { A: [1, 'A'], mA: [1, 'mA'], µA: [1, 'uA'] }],
    resistance: ['ohm', { Ω: [1, 'ohm'], mΩ: [1, 'mohm'], kΩ: [1, 'kohm'], µΩ: [1, 'uohm'], MΩ: [1, 'Mohm'] }],
  };

  /** The library has these to fewer digits than the source: its mmHg is 133.322 Pa, SP 811 prints 133.3224. */
  const looser: Readonly<Record<string, number>> = {
    atm: 1e-6,
    hp: 1e-6,
    mmHg: 4e-6,
    inHg: 4e-6,
    'inHg abs': 4e-6,
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
