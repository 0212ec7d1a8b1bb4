import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareProcedures } from '../../../src/procedure/compare/compare.ts';
import { movedBetween } from '../../../src/procedure/compare/sequence.ts';
import { compareWords } from '../../../src/procedure/compare/words.ts';
import { applyChanges, plainSheet, sheetOf } from './apply.ts';
import { originals, revised } from './variations.ts';

describe('laws of comparing', () => {
  it.each(originals.map((procedure) => [procedure.procedure, procedure] as const))(
    '%s compared with itself has no change',
    (_, procedure) => {
      expect(compareProcedures(procedure, procedure).changes).toEqual([]);
      expect(compareProcedures(procedure, structuredCopy(procedure)).changes).toEqual([]);
    },
  );

  it('the changes, carried out on the old one, give the new one; and back', () => {
    fc.assert(
      fc.property(revised, ([before, now]) => {
        expect(plainSheet(applyChanges(before, compareProcedures(before, now).changes))).toEqual(
          plainSheet(sheetOf(now)),
        );
        expect(plainSheet(applyChanges(now, compareProcedures(now, before).changes))).toEqual(
          plainSheet(sheetOf(before)),
        );
      }),
      { numRuns: Number(process.env['DRYFIT_RUNS'] ?? 120) },
    );
  });

  it('there are changes only where the two differ, and each says how', () => {
    fc.assert(
      fc.property(revised, ([before, now]) => {
        const { changes } = compareProcedures(before, now);
        const isSame = JSON.stringify(plainSheet(sheetOf(before))) === JSON.stringify(plainSheet(sheetOf(now)));
        expect(changes.length === 0).toBe(isSame);
        for (const { old, new: now, kind } of changes) if (kind !== 'same-in-other-unit') expect(old).not.toBe(now);
      }),
      { numRuns: 60 },
    );
  });

  it('as few steps move as can: no smaller set would do', () => {
    const fewest = (from: readonly string[], to: readonly string[]): number => {
      for (let size = 0; size <= from.length; size += 1)
        for (let mask = 0; mask < 1 << from.length; mask += 1) {
          if (mask.toString(2).replaceAll('0', '').length !== size) continue;
          const out = new Set(from.filter((_, index) => (mask >> index) % 2 === 1));
          const [a, b] = [from, to].map((list) => list.filter((id) => !out.has(id)).join());
          if (a === b) return size;
        }
      return from.length;
    };
    const ids = ['a', 'b', 'c', 'd', 'e', 'f', 'g'];
    fc.assert(
      fc.property(fc.shuffledSubarray(ids, { minLength: 0, maxLength: 7 }), (to) => {
        const from = ids.filter((id) => to.includes(id));
        const moved = movedBetween(from, to);
        expect(moved.size).toBe(fewest(from, to));
        expect(from.filter((id) => !moved.has(id))).toEqual(to.filter((id) => !moved.has(id)));
      }),
      { numRuns: 200 },
    );
  });

  it('the words that stayed and came are the new text, those that stayed and went the old', () => {
    const text = fc.array(fc.constantFrom('glue', 'the', 'flange', 'twice,', 'and', 'clamp'), { maxLength: 12 });
    fc.assert(
      fc.property(text, text, (a, b) => {
        const [before, now] = [a.join(' '), b.join('  ')];
        const runs = compareWords(before, now);
        const without = (side: string): string =>
          runs
            .filter((run) => run.in !== side)
            .map((run) => run.text)
            .join(' ');
        expect(without('old')).toBe(b.join(' '));
        expect(without('new')).toBe(a.join(' '));
      }),
    );
  });
});

/** A deep copy that shares only units and numbers. */
const structuredCopy = <T>(value: T): T => {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map(structuredCopy) as T;
  if (Object.getPrototypeOf(value) !== Object.prototype) return value;
  if ('factor' in value) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, structuredCopy(inner)])) as T;
};
