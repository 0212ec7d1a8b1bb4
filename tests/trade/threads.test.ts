import { describe, expect, test } from 'vitest';
import { calculate } from '../../src/trade/calculations.ts';
import type { Inputs } from '../../src/trade/inputs.ts';

const shown = (name: string, inputs: Inputs): string => {
  const outcome = calculate(name, inputs);
  if (!outcome.ok) return `${outcome.fault.kind} ${outcome.fault.code}`;
  return outcome.value.results.map(({ quantity }) => quantity.text).join(', ');
};

const whatOf = (name: string, inputs: Inputs): string => {
  const outcome = calculate(name, inputs);
  return outcome.ok ? 'taken' : outcome.fault.what;
};

describe('the thread of a bolt, as people write it (the values are those of AC 43.13-1B table 7-1, tension nuts)', () => {
  test.each([
    [
      '20 in·lb, 25 in·lb, 40 in·lb',
      [
        '10-32',
        '#10-32',
        '# 10-32',
        'No. 10-32',
        'no10-32',
        'AN 10-32',
        '10 - 32',
        '10  -  32',
        '10–32',
        '10-32 UNF',
        '10-32UNF',
        '10-32 UNF-2A',
        '10-32 UNJF-3A',
        '10-32 UNRF',
        '10-32 NF',
        ' 10-32 ',
      ],
    ],
    ['160 in·lb, 190 in·lb, 390 in·lb', ['3/8-24', '3/8 - 24', '3/8-24 UNF', '3/8-24 unf-2b']],
    ['160 in·lb, 185 in·lb, 275 in·lb', ['3/8-16', '3/8-16 UNC', '3/8-16 NC-2B', '3/8 -16']],
  ])('%s', (values, spellings) => {
    for (const thread of spellings)
      expect([thread, shown('bolt-torque', { thread, nut: 'tension' })]).toEqual([thread, values]);
  });

  test.each([
    ['M8', 'refused out-of-range'],
    ['M8x1.25', 'refused out-of-range'],
    ['12-28', 'refused out-of-range'],
    ['10-32 UNF bolt', 'refused out-of-range'],
    ['UNF 10-32', 'usage input-wrong'],
    ['UNF-2A10-32', 'usage input-wrong'],
    ['x10-32', 'usage input-wrong'],
    ['10-', 'usage input-wrong'],
    ['constructor', 'usage input-wrong'],
  ])('%s is none of the table: %s', (thread, code) => {
    expect(shown('bolt-torque', { thread, nut: 'tension' })).toBe(code);
  });

  test('is shown cut to forty characters where it is none', () => {
    expect(whatOf('bolt-torque', { thread: 'x'.repeat(60), nut: 'tension' })).toBe(`${'x'.repeat(40)} is no thread`);
    expect(whatOf('bolt-torque', { thread: '1'.repeat(60), nut: 'tension' })).toBe(
      `the table has no thread ${'1'.repeat(40)}`,
    );
  });

  test('may have spaces around it, and so may each of a few choices', () => {
    expect(shown('bolt-torque', { thread: '3/8-24', nut: ' tension ' })).toBe('160 in·lb, 190 in·lb, 390 in·lb');
  });
});

test.each(['10.125', '10.25', '10.375', '10.50', '10.75'])('%s is no size of pipe, though it ends like one', (size) => {
  expect(shown('pipe-thread', { size, turns: '1' })).toBe('usage input-wrong');
});

test('a wrong size of pipe is answered with all six', () => {
  const outcome = calculate('pipe-thread', { size: 'x', turns: '1' });
  expect(outcome.ok ? '' : outcome.fault.todo).toBe('write one of 1/8, 1/4, 3/8, 1/2, 3/4, 1');
  const other = calculate('pipe-thread', { size: '2', turns: '1' });
  expect(other.ok ? '' : other.fault.todo).toBe('the sizes are 1/8, 1/4, 3/8, 1/2, 3/4, 1');
});
