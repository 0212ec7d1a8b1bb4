import { err, ok } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity, quantity, toBase } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { exactly, outOfRange, type Calculation } from './calculation.ts';

/** ISO 2533 standard atmosphere at sea level, from memory; taken where no barometer is given. */
const standard = quantity('101.325 kPa', 'pressure');

export const pressureLoss: Calculation = {
  name: 'pressure-loss',
  title: 'Pressure lost in a closed tank, corrected for temperature and barometer',
  inputs: [
    { name: 'start', dimension: 'pressure', required: true, about: 'gauge pressure at the start' },
    { name: 'end', dimension: 'pressure', required: true, about: 'gauge pressure at the end' },
    {
      name: 'start-temperature',
      dimension: 'temperature',
      required: true,
      about: 'temperature of the air in the tank at the start',
    },
    { name: 'end-temperature', dimension: 'temperature', required: true, about: 'the same at the end' },
    { name: 'start-barometer', dimension: 'pressure', required: false, about: 'air pressure at the start' },
    { name: 'end-barometer', dimension: 'pressure', required: false, about: 'air pressure at the end' },
  ],
  source: 'ideal gas in a closed volume, (gauge + barometer) / T constant, kelvin: standard physics, from memory',
  range: 'air, a tank that keeps its volume; temperatures above absolute zero, absolute pressures above zero',
  caution:
    'One kelvin is worth about 0.38 kPa. Never pressurise a thin tank from shop air: a regulated source or a water column, and no fuel in it ever before.',
  example: { start: '3.5 psi', end: '3.2 psi', 'start-temperature': '20 °C', 'end-temperature': '16 °C' },
  compute: (given) => {
    const [start, end] = [given.quantity('start'), given.quantity('end')];
    const [warm, cold] = [toBase(given.quantity('start-temperature')), toBase(given.quantity('end-temperature'))];
    const told = [given.maybe('start-barometer'), given.maybe('end-barometer')];
    const before = told[0] ?? told[1] ?? standard;
    const after = told[1] ?? told[0] ?? standard;
    const absolute = toBase(start).add(toBase(before));
    if (warm.compare(0) <= 0 || cold.compare(0) <= 0)
      return err(outOfRange('a temperature lies at or below absolute zero', 'check the temperatures and their units'));
    if (
      absolute.compare(0) <= 0 ||
      toBase(end).add(toBase(after)).compare(0) <= 0 ||
      toBase(after).compare(0) <= 0 ||
      toBase(before).compare(0) <= 0
    )
      return err(outOfRange('an absolute pressure is not above zero', 'check gauge pressures and barometer'));
    const expected = absolute.mul(cold).div(warm).sub(toBase(after));
    const pascal = unitNamed('Pa');
    const [should, lost] = [
      convert(makeQuantity(expected, pascal), start.unit),
      convert(makeQuantity(expected.sub(toBase(end)), pascal), start.unit),
    ];
    const missing = told.filter((one) => one === undefined).length;
    return ok({
      results: [exactly('loss', lost.amount, lost.unit), exactly('expected', should.amount, should.unit)],
      working: `without a leak the gauge would show ${printQuantity(should)}; it shows ${printQuantity(end)}: ${printQuantity(lost)} lost`,
      warnings: [
        ...(missing === 2 ? ['No barometer given: the standard atmosphere, 101.325 kPa, is taken at both ends.'] : []),
        ...(missing === 1 ? ['One barometer reading given: it is taken at both ends.'] : []),
        ...(lost.amount.s < 0n
          ? ['The gauge shows more than the temperature explains: check temperature, barometer and gauge.']
          : []),
      ],
    });
  },
};
