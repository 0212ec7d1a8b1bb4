import { err, ok } from '../fault/fault.ts';
import { convert, minus, printQuantity } from '../quantity/quantity.ts';
import { fromFloat, toNumber } from '../quantity/rational.ts';
import { makeQuantity } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import { outOfRange, type Calculation } from './calculation.ts';

/** Magnus form with the constants of Alduchov and Eskridge, over water. */
const a = 17.625;
const b = 243.04; // °C

/** Dew point in °C for air at `celsius` with a relative humidity of `humidity` %, above 0 and at most 100. */
const dewPointCelsius = (celsius: number, humidity: number): number => {
  const gamma = Math.log(humidity / 100) + (a * celsius) / (b + celsius);
  return (b * gamma) / (a - gamma);
};

export const dewPoint: Calculation = {
  name: 'dew-point',
  title: 'Dew point of the shop’s air, and how far the surface is above it',
  inputs: [
    { name: 'temperature', dimension: 'temperature', required: true, about: 'temperature of the air' },
    { name: 'humidity', dimension: 'percent', required: true, bare: '%', about: 'relative humidity' },
    { name: 'surface', dimension: 'temperature', required: false, about: 'temperature of the part itself' },
  ],
  source:
    'Td = b γ / (a − γ), γ = ln(RH/100) + a T / (b + T), a 17.625, b 243.04 °C (Alduchov and Eskridge), ±0.35 °C over −40 to 60 °C, restated publicly',
  range: 'air from −40 to 60 °C, humidity above 0 and at most 100 %; refused outside',
  caution:
    'Measure the part, not the room: it is the colder one. Usual rules, each in its own unit: 3 °C above (ISO 8502-4, at second hand), 5 °F above (coating makers).',
  example: { temperature: '70 °F', humidity: '65 %', surface: '65 °F' },
  compute: (given) => {
    const [air, humidity, surface] = [
      given.quantity('temperature'),
      given.quantity('humidity'),
      given.maybe('surface'),
    ];
    const celsius = unitNamed('°C', 'temperature');
    const warmth = convert(air, celsius).amount;
    if (warmth.compare(-40) < 0 || warmth.compare(60) > 0)
      return err(outOfRange(`${printQuantity(air)} is outside −40 to 60 °C`, 'the formula holds only there'));
    if (humidity.amount.compare(0) <= 0 || humidity.amount.compare(100) > 0)
      return err(
        outOfRange(
          `a humidity of ${printQuantity(humidity)} is outside 0 to 100 %`,
          'give a humidity above 0 and at most 100 %',
        ),
      );
    const raw = makeQuantity(fromFloat(dewPointCelsius(toNumber(warmth), toNumber(humidity.amount))), celsius);
    const dew = convert(raw, air.unit);
    const margin = surface === undefined ? undefined : minus(convert(surface, air.unit), dew);
    const above = margin === undefined ? '' : `; the surface is ${printQuantity(margin)} above it`;
    return ok({
      results: [
        { name: 'dew-point', quantity: dew, exact: false },
        ...(margin === undefined ? [] : [{ name: 'margin', quantity: margin, exact: false }]),
      ],
      working: `air ${printQuantity(air)} at ${printQuantity(humidity)}: dew point ${printQuantity(dew)}${above}`,
      warnings:
        margin !== undefined && margin.amount.s < 0n
          ? ['The surface is below the dew point: it is wet or will be.']
          : [],
    });
  },
};
