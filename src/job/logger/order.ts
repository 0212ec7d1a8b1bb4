/** Rows by time, of one instant the colder first, each once. */
interface Ordered {
  readonly rows: { readonly ms: Float64Array; readonly ticks: Float64Array };
  /** How many rows were earlier than the row above them. */
  readonly late: number;
  /** How many rows were repeated. */
  readonly twice: number;
}

export const inOrder = (ms: Float64Array, ticks: Float64Array): Ordered => {
  const count = ms.length;
  let late = 0;
  for (let index = 1; index < count; index += 1) if ((ms[index] ?? 0) < (ms[index - 1] ?? 0)) late += 1;
  const places = Uint32Array.from({ length: count }, (_, index) => index).sort(
    (a, b) => (ms[a] ?? 0) - (ms[b] ?? 0) || (ticks[a] ?? 0) - (ticks[b] ?? 0),
  );
  const [rising, warmth] = [new Float64Array(count), new Float64Array(count)];
  let kept = 0;
  for (const place of places) {
    const [time, warm] = [ms[place] ?? 0, ticks[place] ?? 0];
    if (kept > 0 && rising[kept - 1] === time && warmth[kept - 1] === warm) continue;
    rising[kept] = time;
    warmth[kept] = warm;
    kept += 1;
  }
  return {
    rows: { ms: rising.slice(0, kept), ticks: warmth.slice(0, kept) },
    late,
    twice: count - kept,
  };
};
