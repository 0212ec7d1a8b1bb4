import { describe, expect, test } from 'vitest';
import { namedSize } from '../../src/quantity/named-sizes.ts';
import { parseQuantity, quantity } from '../../src/quantity/quantity.ts';

const size = (text: string): string | undefined => namedSize(text)?.toString();

describe('drills and wire gauges go by names', () => {
  test.each([
    // Two public charts of number and letter drills, the same in these sizes; #30 and #40 also as hole sizes for rivets of 1/8 and 3/32 in.
    ['#30', '0.1285'],
    ['No. 30', '0.1285'],
    ['no 40', '0.098'],
    ['number 21 drill', '0.159'],
    ['30 drill', '0.1285'],
    ['drill #12', '0.189'],
    ['#80', '0.0135'],
    ['#1', '0.228'],
    ['letter A', '0.234'],
    ['F drill', '0.257'],
    ['drill F', '0.257'],
    ['letter Z drill', '0.413'],
    // ASTM B258, from memory.
    ['AWG 20', '0.032'],
    ['20 AWG', '0.032'],
    ['22AWG', '0.0253'],
    ['AWG 10', '0.1019'],
    ['AWG 0000', '0.46'],
    ['AWG 0', '0.3249'],
  ])('%s is %s in', (text, inches) => {
    expect(size(text)).toBe(inches);
  });

  test('drills grow from 80 to 1 and on from A to Z, and E is a quarter of an inch', () => {
    const names = [
      ...Array.from({ length: 80 }, (_, n) => `#${80 - n}`),
      ...Array.from({ length: 26 }, (_, n) => `letter ${String.fromCodePoint(65 + n)}`),
    ];
    const sizes = names.map((name) => namedSize(name)?.valueOf() ?? Number.NaN);
    expect(sizes.every((one, n) => n === 0 || one > (sizes[n - 1] ?? Infinity))).toBe(true);
    expect(size('letter E')).toBe('0.25');
  });

  test.each(['#81', '#0', 'AWG 41', 'AWG 00000', 'drill', 'F', '30', 'letter AA', '#', ''])('%j is none', (text) => {
    expect(size(text)).toBeUndefined();
  });

  test('a name is a length, and nothing where a mass or a force is asked for', () => {
    expect(quantity('#30').unit.name).toBe('in');
    expect(parseQuantity('#30', { dimension: 'mass' }).ok).toBe(false);
  });
});

test('behind degrees a minute is one of arc', () => {
  expect(quantity('15 deg 30 min').amount.toString()).toBe('15.5');
  expect(quantity('15 ° 30 min 36 sec', 'angle').amount.toString()).toBe('15.51');
  expect(quantity('2 h 30 min').unit.name).toBe('min');
});
