import { msOf } from '../job/cure.ts';
import type { Link } from '../proof/chain.ts';

/** One writer's lines, and how many of them have been taken. */
interface Lane {
  readonly writer: string;
  readonly links: readonly Link[];
  /** Hash → place among `links`. */
  readonly places: ReadonlyMap<string, number>;
  taken: number;
}

const laneOf = (links: readonly Link[]): Lane => ({
  writer: links[0]?.line.writer ?? '',
  links,
  places: new Map(links.map(({ hash }, place) => [hash, place])),
  taken: 0,
});

/** Everything that the line's writer had seen stands before it. What is not here at all holds nothing up. */
const isFree = ({ line }: Link, lanes: ReadonlyMap<string, Lane>): boolean =>
  Object.entries(line.seen).every(([writer, hash]) => {
    const lane = lanes.get(writer);
    const place = lane?.places.get(hash);
    return lane === undefined || place === undefined || place < lane.taken;
  });

const isEarlier = (a: Link, b: Link): boolean => {
  const [at, other] = [msOf(a.line.at), msOf(b.line.at)];
  return at < other || (at === other && a.line.writer < b.line.writer);
};

/**
 * The lines of all writers as one sequence: each after what it follows (`prev`) and what its writer had seen (`seen`);
 * ties by `at`, then by writer. The same lines give the same order, whatever the order of the files.
 */
export const inCausalOrder = (writers: readonly (readonly Link[])[]): readonly Link[] => {
  const [only, ...others] = writers.filter((links) => links.length > 0);
  if (only === undefined) return [];
  if (others.length === 0) return only;
  const lanes = new Map([only, ...others].map((links) => [links[0]?.line.writer ?? '', laneOf(links)]));
  const ordered: Link[] = [];
  for (;;) {
    const heads = [...lanes.values()].flatMap(({ links, taken }) => links[taken] ?? []);
    // Lines that wait for each other in a circle can only be forged; they are still put into one order.
    const free = heads.filter((link) => isFree(link, lanes));
    const next = (free.length > 0 ? free : heads).reduce<Link | undefined>(
      (first, link) => (first === undefined || isEarlier(link, first) ? link : first),
      undefined,
    );
    const lane = next && lanes.get(next.line.writer);
    if (next === undefined || lane === undefined) return ordered;
    lane.taken += 1;
    ordered.push(next);
  }
};

/** The line with this hash and all that stands behind it, by `prev` and `seen`, in the order of `links`. */
export const upTo = (links: readonly Link[], hash: string): readonly Link[] => {
  const byHash = new Map(links.map((link) => [link.hash, link]));
  const behind = new Set<string>();
  const open = [hash];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const link = byHash.get(next);
    if (link === undefined || behind.has(next)) continue;
    behind.add(next);
    open.push(link.line.prev, ...Object.values(link.line.seen));
  }
  return links.filter((link) => behind.has(link.hash));
};

/** Whether the writer of a line knew an entry, `WRITER:SEQ`, when they wrote. */
export type Knowledge = (link: Link, entry: string) => boolean;

/** Everybody's lines in which an entry was known: its own, those behind it in its file, and those that had seen one of these. */
const knowing = (links: readonly Link[], entry: string): ReadonlySet<string> => {
  const known = new Set<string>();
  for (const { line, hash } of links)
    if (
      `${line.writer}:${line.seq}` === entry ||
      known.has(line.prev) ||
      Object.values(line.seen).some((seen) => known.has(seen))
    )
      known.add(hash);
  return known;
};

/** Asked of lines in their causal order. Each entry is looked for once, and only when it is asked about. */
export const knowledgeOf = (links: readonly Link[]): Knowledge => {
  const asked = new Map<string, ReadonlySet<string>>();
  return ({ hash }, entry) => {
    const known = asked.get(entry) ?? knowing(links, entry);
    asked.set(entry, known);
    return known.has(hash);
  };
};
