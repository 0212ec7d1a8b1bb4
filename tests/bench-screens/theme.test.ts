import { expect, test } from 'vitest';
import { themeFor, themes } from '../../src/bench/theme.ts';

const channels = (hex: string): readonly number[] =>
  [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255);

/** Relative luminance, WCAG 2.1. */
const luminance = (hex: string): number => {
  const [red = 0, green = 0, blue = 0] = channels(hex).map((value) =>
    value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4,
  );
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
};

const contrast = (one: string, other: string): number => {
  const [light = 0, dark = 0] = [luminance(one), luminance(other)].toSorted((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
};

test.each([
  ['dark', ['#000000', '#1e1e1e']],
  ['light', ['#ffffff', '#f2f2f2']],
] as const)('every colour of the %s theme stands at 7:1 on its grounds (WCAG 2.1, 1.4.6)', (name, grounds) => {
  for (const [style, { colour }] of Object.entries(themes[name]))
    for (const ground of grounds)
      if (colour !== undefined) expect(contrast(colour, ground), `${style} on ${ground}`).toBeGreaterThanOrEqual(7);
});

test('the contrast is calculated as in the standard: black on white is 21', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21);
  expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
});

test('there are three hues, and none without colour', () => {
  for (const name of ['dark', 'light'] as const)
    expect(new Set([themes[name].order.colour, themes[name].person.colour, themes[name].outside.colour]).size).toBe(3);
  expect(Object.values(themes.none).flatMap(({ colour }) => colour ?? [])).toEqual([]);
});

test('NO_COLOR overrides the chosen theme; the background is read from COLORFGBG', () => {
  expect(themeFor({ NO_COLOR: '1' }, 'dark')).toBe('none');
  expect(themeFor({ NO_COLOR: '' }, 'light')).toBe('light');
  expect(themeFor({ COLORFGBG: '0;15' })).toBe('light');
  expect(themeFor({ COLORFGBG: '15;0' }, undefined)).toBe('dark');
  expect(themeFor({}, 'sepia')).toBe('dark');
});
