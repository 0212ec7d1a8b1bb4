import fc from 'fast-check';
import { erf } from 'mathjs';
import { describe, expect, test } from 'vitest';
import { calculate } from '../../src/trade/calculations.ts';
import type { Inputs } from '../../src/trade/inputs.ts';
import { normalBelow } from '../../src/trade/normal.ts';

const result = (name: string, inputs: Inputs, which?: string): number => {
  const outcome = calculate(name, inputs);
  if (!outcome.ok) throw new Error(`${outcome.fault.code}: ${outcome.fault.what}`);
  const found = outcome.value.results.find((one) => which === undefined || one.name === which);
  return found?.quantity.amount.valueOf() ?? Number.NaN;
};

/** A number above zero with two decimals, as text. */
const positive = (most: number): fc.Arbitrary<string> =>
  fc.integer({ min: 1, max: most * 100 }).map((n) => (n / 100).toFixed(2));

const two = (most: number): fc.Arbitrary<readonly [string, string]> =>
  fc.tuple(positive(most), positive(most)).map(([a, b]) => (Number(a) <= Number(b) ? [a, b] : [b, a]));

/**
 * [title, calculation, the input that grows, with its unit, the other inputs, the result that is compared, 1 for rising or -1 for falling]
 */
const monotone: readonly (readonly [string, string, string, number, Inputs, string, 1 | -1])[] = [
  ['rivet-length', 'grip', 'mm', 50, { diameter: '3 mm' }, 'length', 1],
  ['rivet-length', 'diameter', 'mm', 50, { grip: '3 mm' }, 'next-sixteenth', 1],
  ['edge-distance', 'diameter', 'mm', 50, {}, 'edge', 1],
  ['rivet-diameter', 'thickness', 'mm', 50, {}, 'size', 1],
  ['torque-with-adapter', 'adapter', 'mm', 500, { torque: '20 N·m', wrench: '305 mm' }, 'setting', -1],
  ['torque-with-adapter', 'wrench', 'mm', 500, { torque: '20 N·m', adapter: '50 mm' }, 'setting', 1],
  ['torque-with-adapter', 'angle', '°', 180, { torque: '20 N·m', wrench: '305 mm', adapter: '50 mm' }, 'setting', 1],
  ['torque-with-adapter', 'drag', 'N·m', 50, { torque: '20 N·m', wrench: '305 mm', adapter: '50 mm' }, 'setting', 1],
  ['torque-at-fastener', 'adapter', 'mm', 500, { torque: '20 N·m', wrench: '305 mm' }, 'torque', 1],
  ['bolt-torque', 'drag', 'in·lb', 50, { thread: '3/8-24', nut: 'tension' }, 'high', 1],
  ['pipe-thread', 'turns', 'turns', 4, { size: '1/4' }, 'engaged', 1],
  ['pipe-thread', 'turns', 'turns', 4, { size: '1/4' }, 'showing', -1],
  ['mix', 'base', 'g', 500, { ratio: '100:44', tolerance: '2 %' }, 'high', 1],
  ['mix-ratio', 'other', 'g', 500, { base: '100 g', ratio: '100:44' }, 'off', 1],
  ['cure-time', 'at', '°C', 20, { point1: '24 h at 0 °C', point2: '8 h at 20 °C' }, 'time', -1],
  ['dew-point', 'humidity', '%', 100, { temperature: '20 °C' }, 'dew-point', 1],
  ['dew-point', 'temperature', '°C', 60, { humidity: '50 %' }, 'dew-point', 1],
  ['dew-point', 'surface', '°C', 60, { temperature: '20 °C', humidity: '50 %' }, 'margin', 1],
  ['travel', 'chord', 'mm', 140, { radius: '100 mm' }, 'angle', 1],
  ['travel', 'height', 'mm', 99, { radius: '100 mm' }, 'angle', 1],
  ['travel', 'ruler', 'mm', 900, { radius: '100 mm' }, 'angle', 1],
  ['travel', 'angle', '°', 89, { radius: '100 mm' }, 'chord', 1],
  ['bend-allowance', 'angle', '°', 179, { radius: '1 mm', thickness: '1 mm' }, 'allowance', 1],
  ['bend-allowance', 'radius', 'mm', 20, { angle: '90 °', thickness: '1 mm' }, 'allowance', 1],
  ['setback', 'angle', '°', 179, { radius: '1 mm', thickness: '1 mm' }, 'setback', 1],
  ['scarf-length', 'thickness', 'mm', 50, { ratio: '12:1' }, 'length', 1],
  ['fuel-flow-time', 'volume', 'L', 50, { consumption: '21 L/h', feed: 'pump' }, 'time', 1],
  ['fuel-flow-time', 'consumption', 'L/h', 50, { volume: '1 L', feed: 'pump' }, 'time', -1],
  ['fuel-flow', 'time', 's', 500, { volume: '1 L' }, 'flow', -1],
  ['mac-percent', 'centre', 'm', 5, { lemac: '2.18 m', mac: '1.42 m' }, 'mac-percent', 1],
  ['mac-percent', 'lemac', 'm', 5, { centre: '2.7 m', mac: '1.42 m' }, 'mac-percent', -1],
  ['fluid-weight', 'volume', 'L', 50, { density: '0.72 kg/L' }, 'weight', 1],
  [
    'pressure-loss',
    'end-temperature',
    '°C',
    60,
    { start: '10 kPa', end: '9 kPa', 'start-temperature': '20 °C' },
    'loss',
    1,
  ],
  [
    'pressure-loss',
    'end',
    'kPa',
    20,
    { start: '10 kPa', 'start-temperature': '20 °C', 'end-temperature': '20 °C' },
    'loss',
    -1,
  ],
  ['leak-rate', 'drop', 'mm', 50, { area: '0.62 m²', time: '1 h' }, 'leak', 1],
  ['conformance-probability', 'value', 'mm', 40, { limits: 'at most 20 mm', uncertainty: '5 mm' }, 'probability', -1],
  ['expanded-uncertainty', 'resolution', 'mm', 10, { standard: '1 mm' }, 'expanded', 1],
];

describe('monotone where the physics is', () => {
  test.each(monotone)('%s: in %s (%s up to %d)', (name, input, unit, most, rest, which, sign) => {
    fc.assert(
      fc.property(two(most), ([small, large]) => {
        const [a, b] = [small, large].map((value) => result(name, { ...rest, [input]: `${value} ${unit}` }, which));
        return sign * ((b ?? Number.NaN) - (a ?? Number.NaN)) >= -1e-9 * Math.abs(a ?? 0);
      }),
    );
  });
});

describe('there and back', () => {
  const close = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(b));

  test('torque at the fastener reverses the wrench setting', () => {
    fc.assert(
      fc.property(
        positive(500),
        positive(40),
        fc.integer({ min: 0, max: 180 }),
        positive(9),
        (torque, wrench, angle, adapter) => {
          const tool = {
            wrench: `${Number(wrench) + 10} in`,
            adapter: `${adapter} in`,
            angle: `${angle}`,
            drag: '3.5 in·lb',
          };
          const setting = result('torque-with-adapter', { torque: `${torque} in·lb`, ...tool });
          return close(
            result('torque-at-fastener', { torque: `${setting.toFixed(12)} in·lb`, ...tool }),
            Number(torque),
          );
        },
      ),
    );
  });

  test.each(['chord', 'height', 'ruler'])('angle to %s and back', (measure) => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 8899 }), (hundredths) => {
        const angle = hundredths / 100;
        const length = result('travel', { radius: '1000 mm', angle: `${angle}` }, measure);
        return (
          Math.abs(result('travel', { radius: '1000 mm', [measure]: `${length.toFixed(12)} mm` }, 'angle') - angle) <
          1e-7
        );
      }),
    );
  });

  test('a mix at its target differs by nothing', () => {
    fc.assert(
      fc.property(positive(500), fc.integer({ min: 1, max: 200 }), (grams, share) => {
        const ratio = `100:${share}`;
        const outcome = calculate('mix', { base: `${grams} g`, ratio });
        const target = outcome.ok ? outcome.value.results[0]?.quantity : undefined;
        return target !== undefined && result('mix-ratio', { base: `${grams} g`, other: target, ratio }) === 0;
      }),
    );
  });

  test('a chart gives its own points exactly, and stays between neighbouring points', () => {
    const of = [0, 140, 10, 160, 20, 180, 30, 205];
    const chart = '0 °C, 140 N, 10 °C, 160 N, 20 °C, 180 N, 30 °C, 205 N';
    for (let index = 0; index < of.length; index += 2)
      expect(result('chart', { at: `${of[index]} °C`, chart })).toBe(of[index + 1]);
    fc.assert(
      fc.property(two(30), ([a, b]) => {
        const [low, high] = [result('chart', { at: `${a} °C`, chart }), result('chart', { at: `${b} °C`, chart })];
        return low <= high && low >= 140 && high <= 205;
      }),
    );
  });

  test('the centre is between the arms, and moves with the datum', () => {
    const item = fc.tuple(positive(500), fc.integer({ min: -200, max: 200 }));
    fc.assert(
      fc.property(fc.array(item, { minLength: 1, maxLength: 8 }), fc.integer({ min: -99, max: 99 }), (items, shift) => {
        const at = (by: number): string => items.map(([weight, arm]) => `${weight} lb at ${arm + by} in`).join('; ');
        const centre = result('weight-and-balance', { items: at(0) }, 'centre');
        const arms = items.map(([, arm]) => arm);
        return (
          centre >= Math.min(...arms) - 1e-9 &&
          centre <= Math.max(...arms) + 1e-9 &&
          close(result('weight-and-balance', { items: at(shift) }, 'centre'), centre + shift)
        );
      }),
    );
  });

  test('a history at the reference temperature gives its own time', () => {
    fc.assert(
      fc.property(positive(100), fc.integer({ min: -10, max: 60 }), (hours, celsius) =>
        close(
          result('equivalent-time', {
            history: `${hours} h at ${celsius} °C`,
            reference: `${celsius} °C`,
            activation: '5000 K',
          }),
          Number(hours),
        ),
      ),
    );
  });
});

describe('Φ against a general maths library, and published values', () => {
  // Standard normal table, as in any handbook, from memory; the values agree with the library.
  test.each([
    [1, 0.841345],
    [1.4, 0.919243],
    [1.645, 0.950015],
    [2, 0.97725],
    [3, 0.99865],
  ])('Φ(%d) is %d', (z, value) => {
    expect(normalBelow(z)).toBeCloseTo(value, 6);
  });

  test('guard bands: 1.66 u leaves 4.85 %, 3 u 0.135 %, 6 u 9.9e-10', () => {
    expect(normalBelow(-1.66)).toBeCloseTo(0.0485, 4);
    expect(normalBelow(-3)).toBeCloseTo(0.00135, 5);
    expect(normalBelow(-6) / 9.865876e-10).toBeCloseTo(1, 5);
  });

  test('agrees with the library’s erf everywhere', () => {
    fc.assert(
      fc.property(fc.double({ min: -6, max: 6, noNaN: true }), (z) => {
        const theirs = (1 + erf(z / Math.SQRT2)) / 2;
        return Math.abs(normalBelow(z) - theirs) < 1e-14 && Math.abs(normalBelow(z) + normalBelow(-z) - 1) < 1e-15;
      }),
    );
  });
});

describe('known mistakes', () => {
  test('°C never goes into the exponential: 20 and 30 °C double at Ea 51.22 kJ/mol', () => {
    // R ln 2 / (1/293.15 − 1/303.15) with R 8.314462618, computed.
    const time = result('cure-time', { at: '25 °C', point1: '24 h at 20 °C', point2: '12 h at 30 °C' });
    const q = 6159.89;
    expect(time).toBeCloseTo(24 * Math.exp(q * (1 / 298.15 - 1 / 293.15)), 4);
    const outcome = calculate('cure-time', { at: '25 °C', point1: '24 h at 20 °C', point2: '12 h at 30 °C' });
    expect(outcome.ok ? outcome.value.working : '').toContain('51.2 kJ/mol');
  });

  test('K at 176° is tan 88°, not the table’s misprint 26.63', () => {
    expect(result('setback', { radius: '0.9 in', thickness: '0.1 in', angle: '176 °' })).toBeCloseTo(28.636, 3);
  });

  test('θ is the angle bent through: 45° and 135° differ by a factor of 5.8', () => {
    const at = (angle: string): number => result('setback', { radius: '0.25 in', thickness: '0.064 in', angle });
    expect(at('135') / at('45')).toBeCloseTo(5.828, 3);
  });

  test('chord and height differ by 3.5 % at 30°', () => {
    const [chord, height] = ['chord', 'height'].map((name) =>
      result('travel', { radius: '300 mm', angle: '30' }, name),
    );
    expect((chord ?? 0) / (height ?? 1)).toBeCloseTo(1.0353, 4);
  });

  test('a grip that ends on a sixteenth is not rounded up by a float', () => {
    expect(result('rivet-length', { grip: '0.125 in', diameter: '1/8 in' }, 'next-sixteenth')).toBe(0.3125);
  });

  test('the rule keeps its own unit: a margin of 5 °F is not 3 °C', () => {
    const margin = (surface: string): number =>
      result('dew-point', { temperature: '70 °F', humidity: '65 %', surface }, 'margin');
    expect(margin('62.6961034 °F')).toBeCloseTo(5, 6);
    expect(
      result('convert', { value: '62.6961034 °F', to: '°C' }) - result('convert', { value: '57.6961034 °F', to: '°C' }),
    ).toBeCloseTo(2.7778, 4);
  });
});
