interface Rows {
  readonly ms: Float64Array;
  readonly ticks: Float64Array;
  /** The lowest since the row before, in ticks; NaN in a row without one. */
  readonly lowest: Float64Array;
}

/** Rows by time, of one instant the colder first, each once. */
interface Ordered {
  readonly rows: Rows;
  /** How many rows were earlier than the row above them. */
  readonly late: number;
  /** How many rows were repeated. */
  readonly twice: number;
}

const colderOf = (one: number, other: number): number => {
  if (Number.isNaN(one)) return other;
  return Number.isNaN(other) ? one : Math.min(one, other);
};

export const inOrder = ({ ms, ticks, lowest }: Rows): Ordered => {
  const count = ms.length;
  let late = 0;
  for (let index = 1; index < count; index += 1) if ((ms[index] ?? 0) < (ms[index - 1] ?? 0)) late += 1;
  const places = Uint32Array.from({ length: count }, (_, index) => index).sort(
    (a, b) => (ms[a] ?? 0) - (ms[b] ?? 0) || (ticks[a] ?? 0) - (ticks[b] ?? 0),
  );
  const [rising, warmth, lows] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
  let kept = 0;
  for (const place of places) {
    const [time, warm, low] = [ms[place] ?? 0, ticks[place] ?? 0, lowest[place] ?? NaN];
    if (kept > 0 && rising[kept - 1] === time && warmth[kept - 1] === warm) {
      lows[kept - 1] = colderOf(lows[kept - 1] ?? NaN, low);
      continue;
    }
    rising[kept] = time;
    warmth[kept] = warm;
    lows[kept] = low;
    kept += 1;
  }
  return {
    rows: { ms: rising.slice(0, kept), ticks: warmth.slice(0, kept), lowest: lows.slice(0, kept) },
    late,
    twice: count - kept,
  };
};
