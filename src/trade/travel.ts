import { err, ok, type Outcome } from '../fault/fault.ts';
import { convert, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { toNumber } from '../quantity/rational.ts';
import { unitNamed, type Unit } from '../quantity/units.ts';
import { computed, firstNotPositive, outOfRange, wrongInput, type Calculation, type InputSpec } from './calculation.ts';

const radians = (degrees: number): number => (degrees * Math.PI) / 180;
const degrees = (angle: number): number => (angle * 180) / Math.PI;

interface Measure {
  readonly about: string;
  readonly formula: string;
  /** Length for a radius of one at an angle in radians, and back; NaN where no angle under 90° gives it. */
  readonly length: (angle: number) => number;
  readonly angle: (share: number) => number;
}

const measures: Readonly<Record<string, Measure>> = {
  chord: {
    about: 'straight from the neutral mark to the point, both at the radius',
    formula: '2 R sin(θ/2)',
    length: (angle) => 2 * Math.sin(angle / 2),
    angle: (share) => 2 * Math.asin(share / 2),
  },
  height: {
    about: 'height of the point, square to the neutral line',
    formula: 'R sin θ',
    length: Math.sin,
    angle: Math.asin,
  },
  ruler: {
    about: 'along a flat rule that stands square to the neutral line at the radius',
    formula: 'R tan θ',
    length: Math.tan,
    angle: Math.atan,
  },
};

const inputs: readonly InputSpec[] = [
  { name: 'radius', dimension: 'length', required: true, about: 'hinge line to the measuring point' },
  {
    name: 'angle',
    dimension: 'angle',
    required: false,
    bare: '°',
    oneOf: 'travel',
    about: 'travel from neutral; one of angle, chord, height, ruler',
  },
  ...Object.entries(measures).map(([name, { about }]): InputSpec => ({
    name,
    dimension: 'length',
    required: false,
    oneOf: 'travel',
    ...(name === 'ruler' ? { rule: true } : {}),
    about,
  })),
];

const angleFrom = (name: string, q: Quantity, radius: Quantity): Outcome<number> => {
  const angle =
    name === 'angle'
      ? radians(toNumber(convert(q, unitNamed('°')).amount))
      : (measures[name]?.angle(toNumber(convert(q, radius.unit).amount.div(radius.amount))) ?? Number.NaN);
  return angle < Math.PI / 2
    ? ok(angle)
    : err(
        outOfRange(
          `${name} ${printQuantity(q)} is no travel below 90 °`,
          'check the radius and which of the measures was taken',
        ),
      );
};

const working = (name: string, q: Quantity, radius: Quantity, shown: string): string =>
  name === 'angle'
    ? `R ${printQuantity(radius)}, θ ${printQuantity(q)}: ${shown}`
    : `θ from ${name} ${printQuantity(q)} = ${measures[name]?.formula ?? ''}, R ${printQuantity(radius)}: ${shown}`;

export const travel: Calculation = {
  name: 'travel',
  title: 'Travel of a control surface: angle, chord, height and rule, each from any other',
  inputs,
  source: 'geometry: chord 2 R sin(θ/2), height R sin θ, flat rule R tan θ',
  range: 'above 0 and below 90 °; the radius above zero; exactly one of angle, chord, height, ruler',
  caution:
    'The three lengths differ: chord and height by 3.5 % at 30 °. The procedure must say which one its limits mean.',
  gives: ['angle', 'length'],
  example: { radius: '300 mm', angle: '25 °' },
  compute: (given) => {
    const radius = given.quantity('radius');
    const told = ['angle', ...Object.keys(measures)].filter((name) => given.maybe(name) !== undefined);
    const [name] = told;
    if (name === undefined || told.length > 1)
      return err(
        wrongInput(
          'angle',
          told.length === 0
            ? 'none of angle, chord, height, ruler is given'
            : `${told.join(' and ')} are given together`,
          'give exactly one of angle, chord, height, ruler',
        ),
      );
    const q = given.quantity(name);
    const fault = firstNotPositive({ radius, [name]: q });
    if (fault !== undefined) return err(fault);
    const angle = angleFrom(name, q, radius);
    if (!angle.ok) return angle;
    const length = (unit: Unit) => (key: string) =>
      computed(key, toNumber(convert(radius, unit).amount) * (measures[key]?.length(angle.value) ?? 0), unit);
    const results = [
      ...(name === 'angle' ? [] : [computed('angle', degrees(angle.value), unitNamed('°'))]),
      ...Object.keys(measures)
        .filter((key) => key !== name)
        .map(length(radius.unit)),
    ];
    const shown = results.map((result) => `${result.name} ${printQuantity(result.quantity)}`).join(', ');
    return ok({ results, working: working(name, q, radius, shown) });
  },
};
