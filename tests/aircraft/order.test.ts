import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inCausalOrder, upTo } from '../../src/aircraft/order.ts';
import type { Link } from '../../src/proof/chain.ts';
import type { JournalLine } from '../../src/proof/line.ts';

/** One act of one of three machines: it writes a line, or takes over everything that another machine has (a sync). */
type Step = { readonly writer: number; readonly from?: number; readonly minute: number };

const steps = fc.array(
  fc.record({ writer: fc.nat(2), from: fc.option(fc.nat(2), { nil: undefined }), minute: fc.nat(59) }),
  { maxLength: 40 },
) as fc.Arbitrary<Step[]>;

const names = ['aaaaaaaa', 'bbbbbbbb', 'cccccccc'] as const;

/** Carries out the acts and gives what each machine has written. Each line names what its writer had seen. */
const play = (acts: readonly Step[]): readonly (readonly Link[])[] => {
  const files: Link[][] = [[], [], []];
  /** How many lines of each writer a machine has. */
  const has = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  for (const { writer, from, minute } of acts) {
    const mine = has[writer] ?? [];
    if (from !== undefined) {
      for (const [index, count] of (has[from] ?? []).entries()) mine[index] = Math.max(mine[index] ?? 0, count);
      continue;
    }
    const own = files[writer] ?? [];
    const seen = Object.fromEntries(
      mine.flatMap((count, index) => {
        const last = files[index]?.[count - 1];
        return index === writer || last === undefined ? [] : [[names[index] ?? '', last.hash]];
      }),
    );
    const line = {
      writer: names[writer],
      seq: own.length + 1,
      prev: own.at(-1)?.hash ?? '',
      seen,
      at: `2026-03-02T09:${String(minute).padStart(2, '0')}:00Z`,
    } as unknown as JournalLine;
    own.push({ line, hash: `${names[writer] ?? ''}-${own.length + 1}` });
    mine[writer] = own.length;
  }
  return files;
};

const placesOf = (links: readonly Link[]): ReadonlyMap<string, number> =>
  new Map(links.map(({ hash }, place) => [hash, place]));

describe('the order of merged writers', () => {
  it('has every line once, each after the one before it and after what its writer had seen', () => {
    fc.assert(
      fc.property(steps, (acts) => {
        const files = play(acts);
        const order = inCausalOrder(files);
        const places = placesOf(order);
        expect(order.length).toBe(files.flat().length);
        expect(places.size).toBe(order.length);
        for (const { line, hash } of order)
          for (const before of [line.prev, ...Object.values(line.seen)])
            if (before !== '') expect(places.get(before)).toBeLessThan(places.get(hash) ?? -1);
      }),
    );
  });

  it('is the same whatever the order of the files', () => {
    fc.assert(
      fc.property(steps, (acts) => {
        const files = play(acts);
        expect(inCausalOrder(files.toReversed())).toEqual(inCausalOrder(files));
      }),
    );
  });

  it('is by time, then by writer, where neither had seen the other’s lines', () => {
    const at = (writer: string, minute: string): Link => ({
      line: { writer, seq: 1, prev: '', seen: {}, at: `2026-03-02T09:${minute}:00Z` } as unknown as JournalLine,
      hash: `${writer}${minute}`,
    });
    expect(inCausalOrder([[at('bbbbbbbb', '00')], [at('aaaaaaaa', '10')]]).map(({ hash }) => hash)).toEqual([
      'bbbbbbbb00',
      'aaaaaaaa10',
    ]);
    expect(inCausalOrder([[at('bbbbbbbb', '10')], [at('aaaaaaaa', '10')]]).map(({ hash }) => hash)).toEqual([
      'aaaaaaaa10',
      'bbbbbbbb10',
    ]);
  });

  it('still gives one order where a stamp is not an instant', () => {
    const link = (writer: string, at: string): Link => ({
      line: { writer, seq: 1, prev: '', seen: {}, at } as unknown as JournalLine,
      hash: writer,
    });
    const [good, forged] = [link('aaaaaaaa', '2026-03-02T09:00:00Z'), link('bbbbbbbb', '2026-02-30T09:00:00Z')];
    expect(inCausalOrder([[good], [forged]])).toEqual([forged, good]);
  });

  it('still gives one order where forged lines wait for each other', () => {
    const link = (writer: string, sees: string, hash: string, seen: string): Link => ({
      line: { writer, seq: 1, prev: '', seen: { [sees]: seen }, at: '2026-03-02T09:00:00Z' } as unknown as JournalLine,
      hash,
    });
    expect(
      inCausalOrder([[link('aaaaaaaa', 'bbbbbbbb', 'a', 'b')], [link('bbbbbbbb', 'aaaaaaaa', 'b', 'a')]]),
    ).toHaveLength(2);
  });
});

describe('the lines before a line', () => {
  it('include all that they name by `prev` and `seen`, and all earlier lines where the last line has seen everything', () => {
    fc.assert(
      fc.property(steps, (acts) => {
        const order = inCausalOrder(play(acts));
        for (const { hash } of order) {
          const known = upTo(order, hash);
          const hashes = new Set(known.map((link) => link.hash));
          expect(known.at(-1)?.hash).toBe(hash);
          for (const { line } of known)
            for (const before of [line.prev, ...Object.values(line.seen)])
              if (before !== '') expect(hashes.has(before)).toBe(true);
        }
      }),
      { numRuns: 40 },
    );
  });
});
