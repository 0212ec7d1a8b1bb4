import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { RecordDocument } from '../../src/record/document.ts';
import { recordMatches } from '../../src/record/matches.ts';
import { recordFrom, wholeJob } from './fixture.ts';

const document = recordFrom(wholeJob());

type Path = readonly (string | number)[];

const leavesOf = (value: unknown, path: Path = []): readonly Path[] => {
  if (typeof value !== 'object' || value === null) return [path];
  const items: readonly (readonly [string | number, unknown])[] = Array.isArray(value)
    ? value.map((item: unknown, index) => [index, item] as const)
    : Object.entries(value);
  return items.flatMap(([key, item]) => leavesOf(item, [...path, key]));
};

const leaves = leavesOf(document);

const changedAt = (path: Path): RecordDocument => {
  const copy = structuredClone(document);
  const last = path.at(-1) ?? '';
  const holder = path.slice(0, -1).reduce<unknown>((at, key) => (at as Record<string | number, unknown>)[key], copy);
  (holder as Record<string | number, unknown>)[last] = 'changed';
  return copy;
};

describe('a record against the one that the journal gives', () => {
  it('has no difference from itself', () => {
    expect(recordMatches(document, structuredClone(document))).toBeUndefined();
  });

  it('names the place by the ids of the steps and readings on the way', () => {
    const copy = structuredClone(document);
    const taken = copy.steps[0]?.readings?.[1]?.entered[1];
    Object.assign(taken ?? {}, { value: '0.12 mm' });
    expect(recordMatches(copy, document)).toEqual({
      path: 'steps[measure].readings[gap].entered[2].value',
      record: '"0.12 mm"',
      journal: '"0.10 mm"',
    });
  });

  it('reports what only one of them has', () => {
    const shorter = { ...document, departures: [] };
    expect(recordMatches(shorter, document)).toMatchObject({
      path: expect.stringMatching(/^departures\[/) as string,
      record: undefined,
    });
    const longer = recordMatches(document, shorter);
    expect(longer?.path).toMatch(/^departures\[/);
    expect(longer?.journal).toBeUndefined();
    expect(longer?.record).toContain('AN4 bolts');
  });

  it('finds every single change, and names its key', () => {
    fc.assert(
      fc.property(fc.constantFrom(...leaves), (path) => {
        const difference = recordMatches(changedAt(path), document);
        const key = path.findLast((part) => typeof part === 'string');
        expect(difference?.path).toContain(String(key));
        expect(difference?.record).toBe('"changed"');
      }),
      { numRuns: 300 },
    );
  });
});
