import type { Link } from '../proof/chain.ts';
import { parseInstant } from '../quantity/time.ts';

/** The lines of one writer, while all writers' lines are being merged. */
interface Lane {
  readonly writer: string;
  readonly links: readonly Link[];
  /** The index in `links` of each line, by its hash. */
  readonly places: ReadonlyMap<string, number>;
  /** How many of the lines are already in the merged sequence. */
  taken: number;
  /** When the next line was written, ms since 1970. */
  at: number;
}

/**
 * When a line was written, ms since 1970. A stamp that cannot be read gives 0 and sorts first; whoever folds the line then stops and names
 * it.
 */
const writtenAt = (link: Link | undefined): number => {
  const read = parseInstant(link?.line.at ?? '');
  return read.ok ? read.value.ms : 0;
};

const laneOf = (links: readonly Link[]): Lane => ({
  writer: links[0]?.line.writer ?? '',
  links,
  places: new Map(links.map(({ hash }, place) => [hash, place])),
  taken: 0,
  at: writtenAt(links[0]),
});

/** True where every line that this line's writer had seen is already merged. A line that is not on this machine delays nothing. */
const isFree = ({ line }: Link, lanes: ReadonlyMap<string, Lane>): boolean =>
  Object.entries(line.seen).every(([writer, hash]) => {
    const lane = lanes.get(writer);
    const place = lane?.places.get(hash);
    return lane === undefined || place === undefined || place < lane.taken;
  });

const isEarlier = (a: Lane, b: Lane): boolean => a.at < b.at || (a.at === b.at && a.writer < b.writer);

/** The writer whose next line comes first. Lines that must wait for other lines are taken only where all of them wait. */
const nextLane = (open: ReadonlyMap<string, Lane>, lanes: ReadonlyMap<string, Lane>): Lane | undefined => {
  let [free, any]: (Lane | undefined)[] = [];
  for (const lane of open.values()) {
    const link = lane.links[lane.taken];
    if (link === undefined) continue;
    if (any === undefined || isEarlier(lane, any)) any = lane;
    if ((free === undefined || isEarlier(lane, free)) && isFree(link, lanes)) free = lane;
  }
  // Only forged lines can wait for each other in a circle. They are still put into one order.
  return free ?? any;
};

/**
 * The lines of all writers as one sequence. Each line follows the one before it (`prev`) and those that its writer had seen (`seen`); ties
 * are broken by `at`, then by writer. The same lines give the same order, whatever the order of the files.
 */
export const inCausalOrder = (writers: readonly (readonly Link[])[]): readonly Link[] => {
  const [only, ...others] = writers.filter((links) => links.length > 0);
  if (only === undefined) return [];
  if (others.length === 0) return only;
  const lanes = new Map([only, ...others].map((links) => [links[0]?.line.writer ?? '', laneOf(links)]));
  const open = new Map(lanes);
  const ordered: Link[] = [];
  for (;;) {
    const lane = nextLane(open, lanes);
    const next = lane?.links[lane.taken];
    if (lane === undefined || next === undefined) return ordered;
    lane.taken += 1;
    lane.at = writtenAt(lane.links[lane.taken]);
    if (lane.taken === lane.links.length) open.delete(lane.writer);
    ordered.push(next);
  }
};

/** The line with this hash and every line before it by `prev` and `seen`, in the order of `links`. */
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

/** Whether the writer of a line knew an entry (`WRITER:SEQ`) when they wrote the line. */
export type Knowledge = (link: Link, entry: string) => boolean;

/** The lines whose writers knew an entry: the entry's own line, the later ones in its file, and every line that had seen one of these. */
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

/**
 * Answers whether lines knew an entry. `links` must be in causal order. Each entry is searched for once, when somebody first asks about it.
 */
export const knowledgeOf = (links: readonly Link[]): Knowledge => {
  const asked = new Map<string, ReadonlySet<string>>();
  return ({ hash }, entry) => {
    const known = asked.get(entry) ?? knowing(links, entry);
    asked.set(entry, known);
    return known.has(hash);
  };
};
