import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Link } from '../../src/proof/chain.ts';
import { reachOf } from '../../src/proof/coverage.ts';

interface Step {
  readonly writer: number;
  readonly sees: readonly boolean[];
  readonly person: number;
}

/** Lines of some writers in causal order; each may see the newest line of each other writer, or what it saw before. */
const linksOf = (steps: readonly Step[]): readonly Link[] => {
  const links: Link[] = [];
  for (const [index, { writer, sees, person }] of steps.entries()) {
    const name = `writer${writer}`;
    const own = links.filter(({ line }) => line.writer === name);
    const last = own.at(-1);
    const seen: Record<string, string> = { ...last?.line.seen };
    for (const [other, isSeen] of sees.entries()) {
      const newest = links.findLast(({ line }) => line.writer === `writer${other}`);
      if (isSeen && other !== writer && newest !== undefined) seen[`writer${other}`] = newest.hash;
    }
    const line = { writer: name, seq: own.length + 1, prev: last?.hash ?? '', seen, by: `person${person}` };
    links.push({ hash: `hash${index}`, line: line as unknown as Link['line'] });
  }
  return links;
};

/** The same slowly, from the sentence alone: a name rests on its line, and on every line that this one names, and so on. */
const slowly = (links: readonly Link[]): ReadonlyMap<string, ReadonlyMap<string, number>> => {
  const reach = new Map(links.map(({ line }) => [line.writer, new Map<string, number>()]));
  for (const from of links) {
    const open = [from.hash];
    const met = new Set<string>();
    for (let hash = open.pop(); hash !== undefined; hash = open.pop()) {
      const link = links.find((one) => one.hash === hash);
      if (link === undefined || met.has(hash)) continue;
      met.add(hash);
      const found = reach.get(link.line.writer);
      found?.set(from.line.by, Math.max(found.get(from.line.by) ?? 0, link.line.seq));
      open.push(link.line.prev, ...Object.values(link.line.seen));
    }
  }
  return reach;
};

const plain = (reach: ReadonlyMap<string, ReadonlyMap<string, number>>): unknown =>
  Object.fromEntries([...reach].map(([writer, names]) => [writer, Object.fromEntries(names)]));

const steps = (people: number): fc.Arbitrary<readonly Step[]> =>
  fc.array(
    fc.record({
      writer: fc.nat({ max: 2 }),
      sees: fc.array(fc.boolean(), { minLength: 3, maxLength: 3 }),
      person: fc.nat({ max: people - 1 }),
    }),
    { maxLength: 60 },
  );

describe('how far each name rests on the lines of each writer', () => {
  it('is what following every line backwards gives', () => {
    fc.assert(
      fc.property(steps(4), (drawn) => {
        const links = linksOf(drawn);
        expect(plain(reachOf(links, ({ line }) => [line.by]))).toEqual(plain(slowly(links)));
      }),
    );
  });

  it('also for more names than fit into one number', () => {
    fc.assert(
      fc.property(steps(90), (drawn) => {
        const links = linksOf(drawn);
        expect(plain(reachOf(links, ({ line }) => [line.by]))).toEqual(plain(slowly(links)));
      }),
      { numRuns: 30 },
    );
  });

  it('is told apart for seventy names, each at one line of a file', () => {
    const links = linksOf(Array.from({ length: 70 }, (_, person) => ({ writer: 0, sees: [], person })));
    const expected = Object.fromEntries(links.map((_, person) => [`person${person}`, person + 1]));
    expect(plain(reachOf(links, ({ line }) => [line.by]))).toEqual({ writer0: expected });
  });

  it('does not follow a line that is not here', () => {
    const [first, second] = linksOf([
      { writer: 0, sees: [], person: 0 },
      { writer: 1, sees: [true], person: 1 },
    ]);
    expect(plain(reachOf(second === undefined ? [] : [second], ({ line }) => [line.by]))).toEqual({
      writer1: { person1: 1 },
    });
    expect(first).toBeDefined();
  });
});
