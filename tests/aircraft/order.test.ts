import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inCausalOrder, knowledgeOf, upTo } from '../../src/aircraft/order.ts';
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

/** Fixed examples beside the laws: a line is `WRITER:SEQ`, written at a minute, after what its writer had seen. */
const line = (id: string, minute: number, seen: readonly string[] = []): Link => {
  const [writer = '', seq = ''] = id.split(':');
  return {
    line: {
      writer,
      seq: Number(seq),
      prev: seq === '1' ? '' : `${writer}:${Number(seq) - 1}`,
      seen: Object.fromEntries(seen.map((hash) => [hash.split(':')[0], hash])),
      at: `2026-03-02T09:${String(minute).padStart(2, '0')}:00Z`,
    } as unknown as JournalLine,
    hash: id,
  };
};

const orderOf = (files: readonly (readonly Link[])[]): readonly string[] =>
  inCausalOrder(files).map(({ hash }) => hash);

describe('a line comes after everything that its writer had seen', () => {
  it('given a clock that is behind, then it still comes after what it had seen', () => {
    const a = [line('a:1', 30), line('a:2', 40)];
    const b = [line('b:1', 5, ['a:2'])];
    expect(orderOf([a, b])).toEqual(['a:1', 'a:2', 'b:1']);
  });

  it('given only the first of two lines seen, then the second is placed by its time', () => {
    const a = [line('a:1', 30), line('a:2', 40)];
    expect(orderOf([a, [line('b:1', 35, ['a:1'])]])).toEqual(['a:1', 'b:1', 'a:2']);
    expect(orderOf([a, [line('b:1', 45, ['a:1'])]])).toEqual(['a:1', 'a:2', 'b:1']);
  });

  it('given a chain over three machines, each with a clock behind the last, then the chain holds', () => {
    const [a, b, c] = [[line('a:1', 50)], [line('b:1', 40, ['a:1'])], [line('c:1', 30, ['b:1'])]];
    for (const files of [
      [a, b, c],
      [c, b, a],
      [b, c, a],
    ])
      expect(orderOf(files)).toEqual(['a:1', 'b:1', 'c:1']);
  });

  it('given two machines that wait for nothing, then their lines alternate by time', () => {
    const a = [line('a:1', 0), line('a:2', 20), line('a:3', 40)];
    const b = [line('b:1', 10), line('b:2', 20), line('b:3', 30)];
    expect(orderOf([a, b])).toEqual(['a:1', 'b:1', 'a:2', 'b:2', 'b:3', 'a:3']);
  });

  it('given a line seen that is not on this machine, then it delays nothing', () => {
    expect(orderOf([[line('a:1', 10, ['z:7'])], [line('b:1', 20)]])).toEqual(['a:1', 'b:1']);
    expect(orderOf([[line('a:1', 10, ['b:9'])], [line('b:1', 20)]])).toEqual(['a:1', 'b:1']);
  });

  it('given a line that waits at the head of its file, then the lines behind it wait too', () => {
    const a = [line('a:1', 0, ['b:2']), line('a:2', 1)];
    expect(orderOf([a, [line('b:1', 10), line('b:2', 20)]])).toEqual(['b:1', 'b:2', 'a:1', 'a:2']);
  });

  it('given one writer or none, then their own order is all', () => {
    expect(orderOf([[], [line('a:1', 9), line('a:2', 1)], []])).toEqual(['a:1', 'a:2']);
    expect(orderOf([])).toEqual([]);
    expect(orderOf([[]])).toEqual([]);
  });
});

describe('who knew what', () => {
  const links = inCausalOrder([
    [line('a:1', 0), line('a:2', 10)],
    [line('b:1', 5), line('b:2', 20, ['a:1'])],
    [line('c:1', 30, ['b:2'])],
    [line('d:1', 40)],
  ]);
  const knowing = (entry: string): readonly string[] => {
    const knew = knowledgeOf(links);
    return links.filter((link) => knew(link, entry)).map(({ hash }) => hash);
  };

  it('is the line itself, what follows it in its file, and whoever had seen one of these', () => {
    expect(knowing('a:1')).toEqual(['a:1', 'a:2', 'b:2', 'c:1']);
    expect(knowing('a:2')).toEqual(['a:2']);
    expect(knowing('b:1')).toEqual(['b:1', 'b:2', 'c:1']);
    expect(knowing('c:1')).toEqual(['c:1']);
    expect(knowing('x:1')).toEqual([]);
  });

  it('is kept for each entry by itself', () => {
    const knew = knowledgeOf(links);
    const [first, last] = [links[0], links.at(-1)];
    if (!first || !last) throw new Error('no lines');
    expect([knew(first, 'a:1'), knew(last, 'a:1'), knew(last, 'd:1'), knew(first, 'd:1')]).toEqual([
      true,
      false,
      true,
      false,
    ]);
  });

  it('the lines before a line are those it names, in their order, and no others', () => {
    expect(upTo(links, 'c:1').map(({ hash }) => hash)).toEqual(['a:1', 'b:1', 'b:2', 'c:1']);
    expect(upTo(links, 'd:1').map(({ hash }) => hash)).toEqual(['d:1']);
    expect(upTo(links, 'x:1')).toEqual([]);
  });
});
