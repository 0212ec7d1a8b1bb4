import { describe, expect, test } from 'vitest';
import { fixLimits, parseLimits } from '../../src/quantity/limits.ts';
import { printQuantity } from '../../src/quantity/quantity.ts';
import { unitNamed } from '../../src/quantity/units.ts';

/** `[12.4 mm, 12.6 mm]`; a round bracket means that the end is excluded. */
const zone = (text: string): string => {
  const read = parseLimits(text);
  if (!read.ok) return `${read.fault.code}: ${read.fault.what}; ${read.fault.todo}`;
  const fixed = fixLimits(read.value, () => undefined);
  const [low, high] = [fixed?.low, fixed?.high];
  return `${low === undefined ? '(' : `${low.included ? '[' : '('}${printQuantity(low.at)}`}, ${high === undefined ? ')' : `${printQuantity(high.at)}${high.included ? ']' : ')'}`}`;
};

describe('limits as manuals print them', () => {
  test.each([
    // The forms of the design's grammar, in other spellings of the same words and signs.
    ['35-40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['35–40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['35 – 40 in-lb', '[35 in·lb, 40 in·lb]'],
    ['35 in-lb - 40 in-lb', '[35 in·lb, 40 in·lb]'],
    ['-5-5 °C', '[-5 °C, 5 °C]'],
    ['1/2-3/4 in', '[0.5 in, 0.75 in]'],
    ['1-1/2 - 1-3/4 in', '[1.5 in, 1.75 in]'],
    ['1-1/2 in to 1-3/4 in', '[1.5 in, 1.75 in]'],
    ['1-1-1/2 in', '[1 in, 1.5 in]'],
    ['from 35 to 40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['between 35 and 40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['35 thru 40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['35…40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['35 ... 40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['≤ 0.2 mm', '(, 0.2 mm]'],
    ['<=0.2 mm', '(, 0.2 mm]'],
    ['≥20 °C', '[20 °C, )'],
    ['>= 20 °C', '[20 °C, )'],
    ['> 2 mm', '(2 mm, )'],
    ['< 5 °', '(, 5 °)'],
    ['max 0.2 mm', '(, 0.2 mm]'],
    ['max. 0.2 mm', '(, 0.2 mm]'],
    ['Max: 0.2 mm', '(, 0.2 mm]'],
    ['maximum 0.2 mm', '(, 0.2 mm]'],
    ['0.2 mm max', '(, 0.2 mm]'],
    ['0.2 mm MAX.', '(, 0.2 mm]'],
    ['0.2 mm (max)', '(, 0.2 mm]'],
    ['0.2 mm or less', '(, 0.2 mm]'],
    ['min 20 °C', '[20 °C, )'],
    ['20 °C min.', '[20 °C, )'],
    ['20 °C minimum', '[20 °C, )'],
    ['20 °C or more', '[20 °C, )'],
    ['min 20 min', '[20 min, )'],
    ['20 min min', '[20 min, )'],
    ['20 min max', '(, 20 min]'],
    ['not more than 0.2 mm', '(, 0.2 mm]'],
    ['no more than 0.2 mm', '(, 0.2 mm]'],
    ['not to exceed 0.2 mm', '(, 0.2 mm]'],
    ['not exceeding 0.2 mm', '(, 0.2 mm]'],
    ['up to 0.2 mm', '(, 0.2 mm]'],
    ['no less than 20 °C', '[20 °C, )'],
    ['not less than 20 °C', '[20 °C, )'],
    ['greater than 2 mm', '(2 mm, )'],
    ['under 2 mm', '(, 2 mm)'],
    ['above 2 mm', '(2 mm, )'],
    ['12.5 -0.1 +0.2 mm', '[12.4 mm, 12.7 mm]'],
    ['12.5 +0.2, -0.1 mm', '[12.4 mm, 12.7 mm]'],
    ['12.5 (+0.2/-0.1) mm', '[12.4 mm, 12.7 mm]'],
    ['12.5 mm (+0.2 -0.1)', '[12.4 mm, 12.7 mm]'],
    ['12.5 +0.2 mm', '[12.5 mm, 12.7 mm]'],
    ['12.5 mm + 0.2', '[12.5 mm, 12.7 mm]'],
    ['12 -0.013 -0.028 mm', '[11.972 mm, 11.987 mm]'],
    ['12 +0.018 +0.006 mm', '[12.006 mm, 12.018 mm]'],
    ['12.5 +- 0.1 mm', '[12.4 mm, 12.6 mm]'],
    ['12.5 plus or minus 0.1 mm', '[12.4 mm, 12.6 mm]'],
    ['12.5 (±0.1) mm', '[12.4 mm, 12.6 mm]'],
    ['more than 2 mm, at most 5 mm', '(2 mm, 5 mm]'],
    ['> 2 and <= 5 mm', '(2 mm, 5 mm]'],
    ['at least 2 but less than 5 mm', '[2 mm, 5 mm)'],
    ['min 2 mm, max 5 mm', '[2 mm, 5 mm]'],
    ['2 mm min / 5 mm max', '[2 mm, 5 mm]'],
    ['at most 5 mm; at least 2 mm', '[2 mm, 5 mm]'],
    ['exactly 4 mm', '[4 mm, 4 mm]'],
    ['25 ± 0.5 MΩ', '[24.5 MΩ, 25.5 MΩ]'],
    ['at least 8 lb/h', '[8 lb/h, )'],
    ['at most 1 °C/min', '(, 1 °C/min]'],
    ['14.5 to 14.9 psia', '[14.5 psia, 14.9 psia]'],
    ['12 deg 30 min to 13 deg', '[12.5 °, 13 °]'],
    ['at least AWG 20', '[0.032 in, )'],
    ['#30 to #29', '[0.1285 in, 0.136 in]'],
    ['at most letter F drill', '(, 0.257 in]'],
    // TM 5-6640-212-14, table 5-4, "piston clearances", "top of piston to top of cylinder"; one unit added, which its heading has.
    ['0.0025/0.0045 in (0.0064/0.0114 cm)', '[0.0025 in, 0.0045 in]'],
    ['0 -0.004+0.019 in', '[-0.004 in, 0.019 in]'],
    // AC 43.13-1B table 7-1, 10-32 in tension, as printed in its column: 20-25, with the column's unit.
    ['20-25 in-lbs', '[20 in·lb, 25 in·lb]'],
    // A second unit in brackets, as TM 55-2840-231-23 table G-1 and most manuals print it.
    ['35 to 40 N·m (310 to 354 in·lb)', '[35 N·m, 40 N·m]'],
    ['0.2 mm (0.008 in) max', '(, 0.2 mm]'],
    ['at most 0.2 mm [0.008 in]', '(, 0.2 mm]'],
    ['12.5 mm (0.492 in) ± 0.1 mm', '[12.4 mm, 12.6 mm]'],
    ['at least 20 °C (68 °F)', '[20 °C, )'],
  ])('%s is %s', (text, value) => {
    expect(zone(text)).toBe(value);
  });

  test.each([
    ['12.5 mm', 'limits-unreadable', 'write exactly 12.5 mm'],
    ['1-3/4 in', 'limits-unreadable', 'write exactly 1-3/4 in'],
    ['± 0.1 mm', 'limits-unreadable', '12.5 ± 0.1 mm'],
    ['35 -40 in·lb', 'limits-unreadable', 'write 35 to 40 in·lb, or 35 +0 -40 in·lb'],
    ['35/40 in·lb', 'limits-unreadable', '12.4 to 12.6 mm'],
    ['about 5 mm', 'limits-unreadable', 'write both ends'],
    ['~ 5 mm', 'limits-unreadable', 'write both ends'],
    ['5 mm nominal', 'limits-unreadable', 'write both ends'],
    ['12 H7', 'limits-unreadable', 'in numbers'],
    ['none', 'limits-unreadable', 'write exactly 0'],
    ['2 mm < x ≤ 5 mm', 'limits-unreadable', 'more than 2 mm, at most 5 mm'],
    ['see table 5-4', 'limits-unreadable', 'source'],
    ['20 min', 'limits-unreadable', 'write exactly 20 min'],
    ['40-35 in·lb', 'limits-empty', 'lower value first'],
    ['at least 5 mm, at most 2 mm', 'limits-empty', 'lower value first'],
    ['35 to 40 N·m (610 to 654 in·lb)', 'limits-differ', 'look at the manual'],
    ['at most 0.2 mm (0.8 in)', 'limits-differ', 'look at the manual'],
    ['at most 0.2 mm (3 kg)', 'limits-differ', 'look at the manual'],
    ['at most 0.2 mm (see note 3)', 'limits-unreadable', 'without brackets'],
    ['at most 5 mPa', 'unit-unknown', 'the case of a prefix counts'],
    ['at most 5 mpa', 'quantity-ambiguous', 'write mPa or MPa'],
    ['at most 5 gr', 'quantity-ambiguous', 'write g or grain'],
    ['at most 5 dB', 'unit-unknown', 'write a unit such as'],
  ])('%s is refused as %s, and the answer says what to write', (text, code, todo) => {
    const said = zone(text);
    expect(said).toMatch(new RegExp(`^${code}: `));
    expect(said).toContain(todo);
  });

  test('a gauge pressure and an absolute one are not compared', () => {
    const read = parseLimits('at most 15 psia', { unit: unitNamed('psi') });
    expect(read.ok ? 'read' : read.fault.what).toContain('an absolute pressure, but a pressure is asked for');
  });
});
