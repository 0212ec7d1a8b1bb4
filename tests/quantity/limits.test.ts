import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decide } from '../../src/quantity/decision.ts';
import {
  fixLimits,
  limitRefs,
  parseLimits,
  renameRefs,
  type FixedLimits,
  type LimitOptions,
} from '../../src/quantity/limits.ts';
import { printQuantity, quantity, type Quantity } from '../../src/quantity/quantity.ts';
import { unitNamed } from '../../src/quantity/units.ts';
import { allUnits, decimal } from './arbitrary.ts';

const fixed = (
  text: string,
  options: LimitOptions = {},
  values: Readonly<Record<string, Quantity>> = {},
): FixedLimits => {
  const read = parseLimits(text, options);
  if (!read.ok) throw new Error(read.fault.what);
  const limits = fixLimits(read.value, (id) => values[id]);
  if (limits === undefined) throw new Error('an id has no value');
  return limits;
};

/** `[12.4 mm, 12.6 mm]`; a round bracket means that the end is excluded. */
const zone = (text: string, options: LimitOptions = {}, values: Readonly<Record<string, Quantity>> = {}): string => {
  const { low, high } = fixed(text, options, values);
  const from = low === undefined ? '(' : `${low.included ? '[' : '('}${printQuantity(low.at)}`;
  return `${from}, ${high === undefined ? ')' : `${printQuantity(high.at)}${high.included ? ']' : ')'}`}`;
};

const codeOf = (text: string, options: LimitOptions = {}): string => {
  const read = parseLimits(text, options);
  return read.ok ? 'read' : `${read.fault.kind} ${read.fault.code}`;
};

const [mm, N, g, celsius, count] = [
  unitNamed('mm'),
  unitNamed('N'),
  unitNamed('g'),
  unitNamed('°C', 'temperature'),
  unitNamed('count'),
];
const difference = unitNamed('°C', 'temperature-difference');

describe('the one grammar', () => {
  test.each([
    ['12.5 ± 0.1 mm', '[12.4 mm, 12.6 mm]'],
    ['12.5±0.1mm', '[12.4 mm, 12.6 mm]'],
    ['12.5 mm ± 0.1 mm', '[12.4 mm, 12.6 mm]'],
    ['12.5 mm ± 0.1', '[12.4 mm, 12.6 mm]'],
    ['12.5 +/- 0.1 mm', '[12.4 mm, 12.6 mm]'],
    ['12,5 ± 0,1 mm', '[12.4 mm, 12.6 mm]'],
    ['1-1/2 ± 1/64 in', '[1.484375 in, 1.515625 in]'],
    ['12.5 +0.2 -0.1 mm', '[12.4 mm, 12.7 mm]'],
    ['12.5 +0.2/-0.1 mm', '[12.4 mm, 12.7 mm]'],
    ['12.5 mm +0.2 mm −0.1 mm', '[12.4 mm, 12.7 mm]'],
    ['0.250 +0 -0.002 in', '[0.248 in, 0.25 in]'],
    ['35 +5 in-lb -3 in-lb', '[32 in·lb, 40 in·lb]'],
    ['-5 +1 -2 mm', '[-7 mm, -4 mm]'],
    ['35 to 40 in·lb', '[35 in·lb, 40 in·lb]'],
    ['160 to 190 in-lb', '[160 in·lb, 190 in·lb]'],
    ['160 to 190 lbf·in', '[160 in·lb, 190 in·lb]'],
    ['160 in lb to 190 in lb', '[160 in·lb, 190 in·lb]'],
    ['1/2 to 3/4 in', '[0.5 in, 0.75 in]'],
    ['-5 to 5 °C', '[-5 °C, 5 °C]'],
    ['15 °C to 82 °F', '[15 °C, 82 °F]'],
    ['3.5 to 5 turns', '[3.5 turns, 5 turns]'],
    ['at most 0.2 mm', '(, 0.2 mm]'],
    ['At most 0.2 mm', '(, 0.2 mm]'],
    ['at most 2 mm/h', '(, 2 mm/h]'],
    ['at least 20 °C', '[20 °C, )'],
    ['more than 1/2 in', '(0.5 in, )'],
    ['less than 5 °', '(, 5 °)'],
    ["at most 15°30'", '(, 15.5 °]'],
    ['44 g ± 2 %', '[43.12 g, 44.88 g]'],
    ['50 ± 5 %', '[45 %, 55 %]'],
    ['177 ± 6 °C', '[171 °C, 183 °C]'],
    ['5 to 5 mm', '[5 mm, 5 mm]'],
    ['1 ± 0 mm', '[1 mm, 1 mm]'],
    ['AT MOST 3 mm', '(, 3 mm]'],
    ['at  least   3 mm', '[3 mm, )'],
    ['35 TO 40 mm', '[35 mm, 40 mm]'],
    ['5 mm to 6', '[5 mm, 6 mm]'],
    ['-12 mm ± 5 %', '[-12.6 mm, -11.4 mm]'],
    ['50 % ± 5', '[45 %, 55 %]'],
    ['20 ± 2 percent', '[18 %, 22 %]'],
    ['68 °F +5 -3 °F', '[65 °F, 73 °F]'],
    ['12.5 + 0.2 - 0.1 mm', '[12.4 mm, 12.7 mm]'],
    ['12.5 + / - 0.1 mm', '[12.4 mm, 12.6 mm]'],
    ['12 mm +1 -2', '[10 mm, 13 mm]'],
    ['12 +1 mm -2', '[10 mm, 13 mm]'],
    ['5 mm ± 6 mm', '[-1 mm, 11 mm]'],
    ['½ ± ¼ in', '[0.25 in, 0.75 in]'],
  ])('%s is %s', (text, value) => {
    expect(zone(text)).toBe(value);
  });

  test('an ambiguous unit means what the reading needs', () => {
    expect(fixed('at least 3 °C', { unit: difference }).low?.at.unit.dimension).toBe('temperature-difference');
    expect(fixed('at least 3 °C', { unit: celsius }).low?.at.unit.dimension).toBe('temperature');
    expect(fixed('at most 20 lb', { unit: N }).high?.at.unit.name).toBe('lbf');
    expect(fixed('10 ± 2 %', { unit: unitNamed('%') }).high?.at.amount.valueOf()).toBe(12);
  });

  test('an id means a number, and the limits are fixed once it has a value', () => {
    const target = parseLimits('target ± 12 N', { unit: N });
    if (!target.ok) throw new Error(target.fault.what);
    expect(limitRefs(target.value)).toEqual(['target']);
    expect(fixLimits(target.value, () => undefined)).toBeUndefined();
    expect(zone('target ± 12 N', { unit: N }, { target: quantity('168 N') })).toBe('[156 N, 180 N]');
    expect(zone('target ± 2 %', { unit: N }, { target: quantity('200 N') })).toBe('[196 N, 204 N]');
    expect(zone('target +2 -1 °C', { unit: celsius }, { target: quantity('20 °C') })).toBe('[19 °C, 22 °C]');
    expect(zone('at least scarf-length', { unit: mm }, { 'scarf-length': quantity('264 mm') })).toBe('[264 mm, )');
    expect(zone('low/bay-1 to 40 N', { unit: N }, { 'low/bay-1': quantity('35 N') })).toBe('[35 N, 40 N]');
    const renamed = renameRefs(target.value, (id) => `${id}/bay-1`);
    expect(limitRefs(renamed)).toEqual(['target/bay-1']);
  });

  test('counts are bare numbers where a count is asked for, and nowhere else', () => {
    expect(zone('at most 3', { bare: count })).toBe('(, 3]');
    expect(zone('2 to 5', { bare: count })).toBe('[2, 5]');
    expect(zone('14 ± 1', { bare: count })).toBe('[13, 15]');
    expect(codeOf('at most 3')).toBe('wrong unit-missing');
    expect(codeOf('2 to 5', { unit: mm })).toBe('wrong unit-missing');
    expect(codeOf('target ± 12', { unit: mm })).toBe('wrong unit-missing');
  });

  test.each([
    ['', 'limits-unreadable'],
    ['12 mm', 'limits-unreadable'],
    ['about 12 mm', 'limits-unreadable'],
    ['12.5 ± -0.1 mm', 'limits-unreadable'],
    ['12.5 ± mm', 'limits-unreadable'],
    ['20 °C ± 5 %', 'limits-unreadable'],
    ['at mosty 5 mm', 'limits-unreadable'],
    ['xat most 5 mm', 'limits-unreadable'],
    ['xat least 5 mm', 'limits-unreadable'],
    ['xmore than 5 mm', 'limits-unreadable'],
    ['xless than 5 mm', 'limits-unreadable'],
    ['12 mm ± 3 N', 'unit-dimension'],
    ['12 mm +3 N -1 mm', 'unit-dimension'],
    ['12 mm +1 mm -3 N', 'unit-dimension'],
    ['to 5 mm', 'limits-unreadable'],
    ['Target to 5 mm', 'quantity-unreadable'],
    ['5 to mm', 'unit-missing'],
    ['12.5 +0.2 -0.1', 'unit-missing'],
    ['target ± 5', 'unit-missing'],
    ['12 ± 5 % mm', 'quantity-unreadable'],
    [`at most ${'9'.repeat(200)} mm`, 'limits-unreadable'],
    ['5 to 4 mm', 'limits-empty'],
    ['1 in to 25 mm', 'limits-empty'],
    ['50 °F to 5 °C', 'limits-empty'],
    ['12 mm to 5 N', 'unit-dimension'],
    ['at most 3 mmm', 'unit-unknown'],
    ['at most 3 gal', 'quantity-ambiguous'],
    ['at most 1,234 mm', 'quantity-ambiguous'],
    ['at most 1/0 in', 'quantity-unreadable'],
    [`at most 1${' '.repeat(300)}mm`, 'limits-unreadable'],
  ])('refused: %j is %s', (text, code) => {
    expect(codeOf(text)).toBe(`wrong ${code}`);
  });

  test('a wrong dimension is named in the fault', () => {
    const read = parseLimits('at most 3 N', { unit: mm });
    expect(read.ok ? '' : read.fault.what).toBe('"3 N" is a force, but a length is asked for');
    expect(codeOf('44 ± 2 %', { unit: g })).toBe('wrong unit-missing');
    expect(codeOf('1,234 ± 2 %', { unit: g })).toBe('wrong quantity-ambiguous');
  });

  test('each id is named once, at whichever end, and only ids are renamed', () => {
    const refs = (text: string): readonly string[] => {
      const read = parseLimits(text, { unit: mm });
      return read.ok ? limitRefs(read.value) : [read.fault.code];
    };
    expect(refs('low-end to high/bay-1')).toEqual(['low-end', 'high/bay-1']);
    expect(refs('gap to gap')).toEqual(['gap']);
    expect(refs('at most gap')).toEqual(['gap']);
    expect(refs('more than gap')).toEqual(['gap']);
    expect(refs('1 to 2 mm')).toEqual([]);
    const read = parseLimits('gap to 5 mm', { unit: mm });
    if (!read.ok) throw new Error(read.fault.what);
    const renamed = renameRefs(read.value, (id) => `${id}/left`);
    expect([renamed.text, limitRefs(renamed), renamed.high]).toEqual(['gap to 5 mm', ['gap/left'], read.value.high]);
    const single = parseLimits('at least gap', { unit: mm });
    if (!single.ok) throw new Error(single.fault.what);
    expect(Object.keys(renameRefs(single.value, (id) => id))).toEqual(['text', 'low']);
  });

  test('while one of two ids has no value, nothing is fixed', () => {
    const read = parseLimits('low to high', { unit: mm });
    if (!read.ok) throw new Error(read.fault.what);
    const values: Readonly<Record<string, Quantity>> = { low: quantity('1 mm') };
    expect(fixLimits(read.value, (id) => values[id])).toBeUndefined();
    expect(fixLimits(read.value, (id) => (id === 'high' ? quantity('2 mm') : undefined))).toBeUndefined();
    expect(zone('low to high', { unit: mm }, { low: quantity('1 mm'), high: quantity('2 mm') })).toBe('[1 mm, 2 mm]');
    expect(Object.keys(fixed('at most 2 mm'))).toEqual(['text', 'high']);
  });

  test('a bare count beside a count', () => {
    expect(zone('5 ± 10 %', { bare: count })).toBe('[4.5, 5.5]');
    expect(zone('at least 3 K', { unit: difference })).toBe('[3 K, )');
    expect(zone('at most 3 %', { unit: unitNamed('%') })).toBe('(, 3 %]');
  });

  test('reversed limits are refused, with each end named', () => {
    const read = parseLimits('5 to 4 mm');
    expect(read.ok ? '' : read.fault.what).toContain('the low end, 5 mm, is above the high end, 4 mm');
    expect(read.ok ? '' : read.fault.todo).toBe('write the lower value first');
  });
});

describe('the number at the limit', () => {
  test.each([
    ['12.6 mm', '12.5 ± 0.1 mm', 'within'],
    ['12.4 mm', '12.5 ± 0.1 mm', 'within'],
    ['12.6001 mm', '12.5 ± 0.1 mm', 'outside'],
    ['0.5 in', 'at most 12.7 mm', 'within'],
    ['12.7 mm', 'at most 0.5 in', 'within'],
    ['1/2 in', 'more than 12.7 mm', 'outside'],
    ['1/2 in', 'less than 12.7 mm', 'outside'],
    ['44.88 g', '44 g ± 2 %', 'within'],
    ['43.12 g', '44 g ± 2 %', 'within'],
    ['44.881 g', '44 g ± 2 %', 'outside'],
    ['43.119 g', '44 g ± 2 %', 'outside'],
    ['68 °F', 'at least 20 °C', 'within'],
    ['67.9999 °F', 'at least 20 °C', 'outside'],
    ['0.3 mm', '0.1 to 0.3 mm', 'within'],
    ["15°30'", 'at most 15.5 °', 'within'],
  ])('%s in %s is %s', (value, limits, verdict) => {
    expect(decide(quantity(value), fixed(limits))).toBe(verdict);
  });
});

test('law: a base with a tolerance includes exactly its ends, in whatever unit the value is', () => {
  const lengths = allUnits.filter((unit) => unit.dimension === 'length');
  fc.assert(
    fc.property(decimal, decimal, fc.constantFrom(...lengths), (base, tolerance, unit) => {
      const width = tolerance.amount.abs();
      const limits = fixed(`${base.text} ± ${tolerance.text.replace('-', '')} ${unit.name}`);
      const at = (amount: typeof width): Quantity => ({ text: '', amount, unit });
      return (
        decide(at(base.amount.add(width)), limits) === 'within' &&
        decide(at(base.amount.sub(width)), limits) === 'within' &&
        decide(at(base.amount.add(width).add(1, 1_000_000)), limits) === 'outside' &&
        decide(at(base.amount.sub(width).sub(1, 1_000_000)), limits) === 'outside'
      );
    }),
  );
});

const tries = Number(process.env['FUZZ'] ?? 10_000);

test(`${tries} random limits: read or refused, never a throw`, { timeout: 600_000 }, () => {
  const pieces = [
    'at most ',
    'at least ',
    'more than ',
    ' to ',
    ' ± ',
    ' +',
    ' -',
    '0.1',
    '12,5',
    '1/2',
    '%',
    ' mm',
    ' in-lb',
    '°C',
    'target',
    ' ',
    '½',
    '\u0000',
    '+/-',
  ];
  const text = fc.oneof(
    fc.array(fc.constantFrom(...pieces), { maxLength: 10 }).map((parts) => parts.join('')),
    fc.string({ unit: 'binary', maxLength: 250 }),
  );
  const unit = fc.option(fc.constantFrom(...allUnits), { nil: undefined });
  fc.assert(
    fc.property(text, unit, fc.boolean(), (typed, asked, bare) => {
      const read = parseLimits(typed, {
        ...(asked === undefined ? {} : { unit: asked }),
        ...(bare ? { bare: count } : {}),
      });
      if (!read.ok) return read.fault.kind === 'wrong' && read.fault.todo !== '';
      return read.value.low !== undefined || read.value.high !== undefined;
    }),
    { numRuns: tries },
  );
});
