import { describe, expect, test } from 'vitest';
import { calculations } from '../../src/trade/calculations.ts';
import { calculationsFor, fits } from '../../src/trade/gives.ts';
import type { Dimension } from '../../src/quantity/units.ts';

const all = Object.keys(calculations);
const offered = (dimension: Dimension | undefined): readonly string[] =>
  calculationsFor(dimension).map(({ name }) => name);

const fitOf = (name: string, dimension: Dimension): number => {
  const calculation = calculations[name];
  if (calculation === undefined) throw new Error(name);
  return fits(calculation, dimension);
};

describe('which calculations are offered for a value', () => {
  test.each([
    ['bolt-torque', 'torque', 0],
    ['bolt-torque', 'length', 2],
    ['travel', 'length', 0],
    ['travel', 'angle', 0], // its example gives lengths; it says itself that it gives angles too
    ['travel', 'force', 2],
    ['weight-and-balance', 'mass', 0], // one of several results
    ['chart', 'force', 1],
    ['mean', 'angle', 1],
    ['dew-point', 'temperature', 0],
    ['dew-point', 'percent', 2], // what goes in does not count
  ] as const)('%s for a value of %s: %d', (name, dimension, expected) => {
    expect(fitOf(name, dimension)).toBe(expected);
  });

  test('all of them, in the order of the list, where the kind is not known', () => {
    expect(offered(undefined)).toEqual(all);
  });

  test.each(['torque', 'length', 'percent', 'flow'] as const)(
    'for a value of %s: all, those that give it first, then those that give what goes in, each in the order of the list',
    (dimension) => {
      const group = (fit: number): readonly string[] => all.filter((name) => fitOf(name, dimension) === fit);
      expect(offered(dimension)).toEqual([...group(0), ...group(1), ...group(2)]);
      for (const fit of [0, 1, 2]) expect(group(fit).length).toBeGreaterThan(0);
    },
  );

  test('torques first for a torque', () => {
    expect(offered('torque').slice(0, 4)).toEqual([
      'bolt-torque',
      'prevailing-torque',
      'torque-with-adapter',
      'torque-at-fastener',
    ]);
  });
});
