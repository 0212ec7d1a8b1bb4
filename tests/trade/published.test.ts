import { describe, expect, test } from 'vitest';
import { calculate } from '../../src/trade/calculations.ts';
import { published } from './published/all.ts';

const sources = [...new Set(published.map((row) => row.source))];

describe.each(sources)('%s', (source) => {
  const rows = published.filter((row) => row.source === source);
  test.each(rows.map((row) => [`${row.calculation} ${Object.values(row.inputs).join(', ')}`, row] as const))(
    '%s',
    (_, row) => {
      const done = calculate(row.calculation, row.inputs);
      if (!done.ok) throw new Error(`${done.fault.code}: ${done.fault.what}`);
      for (const [name, [value, within]] of Object.entries(row.expect)) {
        const got = done.value.results.find((result) => result.name === name)?.quantity.amount.valueOf() ?? Number.NaN;
        expect(Math.abs(got - value), `${name} is ${got}, published ${value}`).toBeLessThanOrEqual(within);
      }
    },
  );
});

test('a row says that it is from memory wherever its origin is weak and it is not mere arithmetic', () => {
  const weak = published.filter((row) => row.strength === 'C');
  expect(weak.length).toBeGreaterThan(0);
  expect(weak.filter((row) => !/from memory|arithmetic/.test(row.source))).toEqual([]);
});
