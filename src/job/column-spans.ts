import { isDoubtedBetween, type Rows } from './column-rows.ts';
import { lastUpTo } from './temperatures.ts';

/** What a max-min thermometer says: how cold it was at its coldest between two instants. */
export type Claims = readonly {
  /** In ms since 1970, as is `when`: the instant of the reading that says so. */
  readonly since: number;
  readonly when: number;
  /** In ticks (ninths of a nanokelvin). */
  readonly low: number;
  /** The time of the reading is in doubt. */
  readonly isDoubtful: boolean;
}[];

/**
 * The time of a place in spans. A span ends where a temperature is known, or where the interval of a max-min thermometer begins.
 * It begins where the span before it ends. The first instant begins the first span and ends none.
 */
export interface Spans {
  /** Rising, in ms since 1970. */
  readonly ms: Float64Array;
  /** The coldest that any entry says of the span before the instant, in ticks. */
  readonly cold: Float64Array;
  /** How long the time between two readings is to which the span belongs, ms; 0 where a max-min thermometer speaks of the span. */
  readonly gap: Float64Array;
  /** 1 where nobody knows how long the span was, because the clock was in doubt. */
  readonly doubted: Uint8Array;
  /** The row (index from 0) at the end of the span, or the next one after it. */
  readonly row: Uint32Array;
}

/** The instants at which the interval of a max-min thermometer begins and no reading was taken: each once, in order. */
const otherInstants = ({ ms }: Rows, claims: Claims): Float64Array => {
  const others = claims.flatMap(({ since }) => (ms[lastUpTo(ms, since)] === since ? [] : [since]));
  return Float64Array.from(new Set(others)).sort();
};

/** The spans as the readings alone have them: what is between two readings was as cold as the colder of the two. */
const fromRows = (rows: Rows, others: Float64Array): Spans => {
  const count = rows.ms.length + others.length;
  const [ms, cold, gap] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
  const [doubted, ends] = [new Uint8Array(count), new Uint32Array(count)];
  for (let [at, row, other] = [0, 0, 0]; at < count; at += 1) {
    const instant = Math.min(rows.ms[row] ?? Infinity, others[other] ?? Infinity);
    ms[at] = instant;
    ends[at] = row;
    cold[at] = row === 0 ? Infinity : Math.min(rows.ticks[row - 1] ?? 0, rows.ticks[row] ?? 0);
    gap[at] = (rows.ms[row] ?? 0) - (rows.ms[row - 1] ?? 0);
    // Before the first reading only a max-min thermometer can make anything count.
    doubted[at] = row === 0 || isDoubtedBetween(rows, row - 1, row) ? 1 : 0;
    if (instant === rows.ms[row]) row += 1;
    else other += 1;
  }
  return { ms, cold, gap, doubted, row: ends };
};

/** Visits spans so that none is visited twice: each call visits those of its range that no earlier call has visited. */
const visitor = (count: number): ((from: number, to: number, visit: (span: number) => void) => void) => {
  const next = Uint32Array.from({ length: count + 1 }, (_, span) => span);
  const open = (span: number): number => {
    let at = span;
    while (next[at] !== at) {
      next[at] = next[next[at] ?? at] ?? at;
      at = next[at] ?? at;
    }
    return at;
  };
  return (from, to, visit) => {
    for (let span = open(from); span <= to; span = open(span)) {
      next[span] = span + 1;
      visit(span);
    }
  };
};

/**
 * The spans between the readings of a place. At any instant counts the coldest that any entry says of it: the colder of the two readings
 * around it, and every max-min thermometer that speaks of it. Such a thermometer speaks from `since` to `when`, with the coldest of its
 * minimum and the readings at these two instants. A reading that is entered later between them only makes the parts around it colder.
 */
export const spansOf = (rows: Rows, claims: Claims): Spans => {
  const spans = fromRows(rows, otherInstants(rows, claims));
  const rowAt = (instant: number): number | undefined => {
    const row = lastUpTo(rows.ms, instant);
    return rows.ms[row] === instant ? row : undefined;
  };
  const said = claims
    .map(({ since, when, low, isDoubtful }) => {
      const ends = [rowAt(since), rowAt(when)] as const;
      const [first, last] = ends;
      const isUnsure = isDoubtful || (first !== undefined && last !== undefined && isDoubtedBetween(rows, first, last));
      const cold = Math.min(low, ...ends.map((row) => (row === undefined ? Infinity : (rows.ticks[row] ?? Infinity))));
      return { from: lastUpTo(spans.ms, since) + 1, to: lastUpTo(spans.ms, when), cold, isUnsure };
    })
    .toSorted((one, other) => one.cold - other.cold);
  const [cool, cover] = [visitor(spans.ms.length), visitor(spans.ms.length)];
  for (const { from, to, cold } of said)
    cool(from, to, (span) => {
      spans.cold[span] = Math.min(spans.cold[span] ?? cold, cold);
    });
  for (const { from, to, isUnsure } of said)
    if (!isUnsure)
      cover(from, to, (span) => {
        spans.gap[span] = 0;
        if (spans.row[span] === 0) spans.doubted[span] = 0;
      });
  return spans;
};
