import type { Link } from './chain.ts';

/*
 * What rests on a journal line. A line names the line before it (`prev`) and the newest lines of the other writers (`seen`) by their
 * hashes, so a signature over one line fixes every line behind it. Whoever changes a line must sign anew all that rests on it, and
 * needs the keys of all who signed there.
 */

/** How far something rests on each writer's file: for each of its names, on the lines from 1 to this one. */
export type Reach = ReadonlyMap<string, ReadonlyMap<string, number>>;

/** The names that fit into one number of 32 bits, with the sign left alone. */
const names31 = 31;

/** For each line, the places in `links` of the lines that it names. `links` are in causal order, so these come before it. */
const namedBy = (links: readonly Link[]): ((index: number) => readonly number[]) => {
  const places = new Map(links.map(({ hash }, index) => [hash, index]));
  const before = new Map<string, Link>();
  const changed = links.map((link) => {
    const last = before.get(link.line.writer);
    before.set(link.line.writer, link);
    // What its writer had seen one line earlier is reached through that line.
    return Object.entries(link.line.seen).flatMap(([writer, hash]) => (last?.line.seen[writer] === hash ? [] : [hash]));
  });
  return (index) =>
    [links[index]?.line.prev ?? '', ...(changed[index] ?? [])].flatMap((hash) => {
      const place = places.get(hash);
      return place === undefined || place >= index ? [] : [place];
    });
};

/**
 * How far each name reaches, where a name at a line rests on that line and on all that it names, and so on backwards. Takes time in
 * proportion to the number of lines, once for every 31 names.
 * @param links all lines, in causal order.
 * @param namesAt the names at a line: who signed it, or which writer wrote it.
 */
export const reachOf = (links: readonly Link[], namesAt: (link: Link) => readonly string[]): Reach => {
  const numbers = new Map<string, number>();
  const at = links.map((link) =>
    namesAt(link).map((name) => {
      const number = numbers.get(name) ?? numbers.size;
      numbers.set(name, number);
      return number;
    }),
  );
  const names = [...numbers.keys()];
  const named = namedBy(links);
  const reach = new Map<string, Map<string, number>>(links.map(({ line }) => [line.writer, new Map<string, number>()]));
  for (let from = 0; from < names.length; from += names31) {
    const resting = new Int32Array(links.length);
    for (let index = links.length - 1; index >= 0; index -= 1) {
      let bits = resting[index] ?? 0;
      for (const number of at[index] ?? []) if (number >= from && number < from + names31) bits |= 1 << (number - from);
      resting[index] = bits;
      if (bits !== 0) for (const place of named(index)) resting[place] = (resting[place] ?? 0) | bits;
      const { writer, seq } = (links[index] as Link).line;
      const found = reach.get(writer);
      // Lines come in falling order, so the first one with a name is the last on which it rests.
      for (let rest = bits; rest !== 0; rest &= rest - 1) {
        const name = names[from + 31 - Math.clz32(rest & -rest)] ?? '';
        if (found?.has(name) === false) found.set(name, seq);
      }
    }
  }
  return reach;
};
