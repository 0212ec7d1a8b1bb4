/** The value below which the share `q` of the values lies, between neighbours on a straight line. */
export const quantile = (values: readonly number[], q: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (sorted.length - 1) * q;
  const low = sorted[Math.floor(at)] ?? Number.NaN;
  const high = sorted[Math.ceil(at)] ?? Number.NaN;
  return low + (high - low) * (at - Math.floor(at));
};

export const median = (values: readonly number[]): number => quantile(values, 0.5);

/** One round of a comparison: milliseconds of both, measured one right after the other. */
export interface Pair {
  readonly ours: number;
  readonly bare: number;
}

/**
 * How many times as long ours takes. The median of the rounds' own ratios: a machine that slows down for a while slows both of a round.
 * `low` and `high` hold the middle half of the rounds.
 */
export const ratioOf = (
  pairs: readonly Pair[],
): { readonly middle: number; readonly low: number; readonly high: number } => {
  const ratios = pairs.map(({ ours, bare }) => ours / bare);
  return { middle: median(ratios), low: quantile(ratios, 0.25), high: quantile(ratios, 0.75) };
};

/** Measures both in turns, in an order that changes from round to round. The first round only warms up. */
export const inTurns = async (
  rounds: number,
  ours: () => Promise<number>,
  bare: () => Promise<number>,
): Promise<Pair[]> => {
  const pairs: Pair[] = [];
  for (let round = 0; round <= rounds; round++) {
    const first = round % 2 === 0 ? await ours() : await bare();
    const second = round % 2 === 0 ? await bare() : await ours();
    const pair = round % 2 === 0 ? { ours: first, bare: second } : { ours: second, bare: first };
    if (round > 0) pairs.push(pair);
  }
  return pairs;
};
