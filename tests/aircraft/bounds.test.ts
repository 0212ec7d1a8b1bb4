import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readBuildFile } from '../../src/aircraft/file.ts';
import { inCausalOrder } from '../../src/aircraft/order.ts';
import type { Link } from '../../src/proof/chain.ts';
import type { JournalLine } from '../../src/proof/line.ts';
import { calculate, calculations } from '../../src/trade/calculations.ts';

/*
 * The largest files that are accepted, and texts for which a careless pattern would try every way to divide them. All are read or refused
 * at once.
 */

describe('a large build.yaml', () => {
  const keys = (length: number): string => Array.from({ length }, (_, index) => `key${index}: 1\n`).join('');

  it('reports a hundred of its unknown keys', () => {
    const { build, faults } = readBuildFile(keys(10_000), 'build.yaml');
    expect(build).toBeUndefined();
    expect(faults).toHaveLength(100);
  });

  it('is read to its bound and no further', () => {
    expect(readBuildFile(keys(60_000), 'build.yaml').faults).toMatchObject([{ code: 'too-large' }]);
  });

  it.each([
    ['people', 501, (index: number) => `{ person: p${index}, powers: [builder] }`],
    ['tools', 5001, (index: number) => `{ tool: t${index}, kind: k }`],
    ['gates', 201, (index: number) => `gate-${index}`],
  ] as const)('with too many %s is refused by its count', (key, count, line) => {
    const of = (length: number): string =>
      `${key}:\n${Array.from({ length }, (_, index) => `  - ${line(index)}\n`).join('')}`;
    expect(readBuildFile(of(count), 'build.yaml').faults[0]).toMatchObject({ code: 'too-many' });
    expect(readBuildFile(of(count - 1), 'build.yaml').faults).toEqual([]);
  });

  it('has its one repeated line found among thousands', () => {
    const text = `tools:\n${Array.from({ length: 4999 }, (_, index) => `  - { tool: t${index % 4998}, kind: k }\n`).join('')}`;
    expect(readBuildFile(text, 'build.yaml').faults).toMatchObject([{ code: 'duplicate-id' }]);
  });
});

describe('two thousand journal files', () => {
  it('are put into one order', () => {
    const files = Array.from({ length: 2000 }, (_, index): readonly Link[] => {
      const writer = `w${index.toString(36).padStart(7, '_')}`;
      const line = {
        writer,
        seq: 1,
        prev: '',
        seen: {},
        at: `2026-03-02T09:${String(index % 60).padStart(2, '0')}:00Z`,
      };
      return [{ line: line as unknown as JournalLine, hash: writer }];
    });
    expect(inCausalOrder(files)).toHaveLength(2000);
  });
});

describe('a calculation’s input that repeats one piece', () => {
  const texts = Object.values(calculations).flatMap((calculation) =>
    calculation.inputs
      .filter(({ dimension, choices }) => dimension === 'text' && choices === undefined)
      .map(({ name }) => [calculation.name, name] as const),
  );

  it('there are at least four such inputs', () => {
    expect(texts.length).toBeGreaterThan(3);
  });

  it.each(texts)('%s, %s: is read or refused', (name, input) => {
    const example = (calculations[name]?.example ?? {}) as Readonly<Record<string, string>>;
    const before = example[input] ?? '1/8';
    fc.assert(
      fc.property(
        fc.constantFrom(' ', '-', '. ', ' -', '- ', 'NPT', ' in', '0', '1 ', ';', ', ', ' at', '\t', '"'),
        fc.constantFrom('', 'x', '!'),
        (run, end) => {
          const text = `${before}${run.repeat(900 / run.length)}${end}`.slice(0, 990);
          const done = calculate(name, { ...example, [input]: text });
          expect(typeof done.ok).toBe('boolean');
        },
      ),
      { numRuns: 42 },
    );
  });
});
