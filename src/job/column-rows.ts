import type { Scale } from '../quantity/ticks.ts';

/** The rows of a column. */
export interface Rows {
  /** Rising, in ms since 1970. */
  readonly ms: Float64Array;
  /** The temperature, in ninths of a nanokelvin (quantity/ticks.ts). */
  readonly ticks: Float64Array;
  /** Bit 0: the time is in doubt. Bit 1: a person typed the temperature. From bit 2: the logger's scale, as an index of `scales`. */
  readonly flags: Uint8Array;
  /** How often the clock had been set right when the row was stamped, counted from 1; 0 where a logger or a person gave the time. */
  readonly runs: Uint16Array;
}

const doubtful = 1;
const typed = 2;
const scales: readonly Scale[] = ['°C', '°F', 'K'];

/** The flags of a row. */
export const rowFlag = { doubtful, typed, scaled: (scale: Scale): number => scales.indexOf(scale) << 2 };

/** The scale of a row (index from 0): the logger's own, and °C where somebody typed the temperature. */
export const scaleOf = ({ flags }: Rows, row: number): Scale => scales[(flags[row] ?? 0) >> 2] ?? '°C';

/**
 * True where the time between two rows (indices from 0) is unknown: one of the two times is in doubt, or the clock was set right between
 * them.
 */
export const isDoubtedBetween = ({ flags, runs }: Rows, one: number, other: number): boolean => {
  if ((((flags[one] ?? 0) | (flags[other] ?? 0)) & doubtful) !== 0) return true;
  const [before, after] = [runs[one] ?? 0, runs[other] ?? 0];
  return before !== after && before !== 0 && after !== 0;
};

/** True where a person typed the temperature of a row (index from 0), false where a logger measured it. */
export const isTyped = ({ flags }: Rows, row: number): boolean => ((flags[row] ?? 0) & typed) !== 0;

/**
 * Collects rows, which must be given in order of time. A second row of an instant only makes the first one colder.
 * @param most the largest number of rows.
 */
export const rowWriter = (most: number) => {
  const [ms, ticks] = [new Float64Array(most), new Float64Array(most)];
  const [flags, runs] = [new Uint8Array(most), new Uint16Array(most)];
  let count = 0;
  /** Adds a second temperature to the row of the same instant; temperatures in ticks. */
  const join = (row: number, warm: number, flag: number, run: number): void => {
    const before = ticks[row] ?? 0;
    const kept = flags[row] ?? 0;
    const ran = runs[row] ?? 0;
    const apart = ran !== 0 && run !== 0 && ran !== run ? doubtful : 0;
    if (warm < before) ticks[row] = warm;
    // The words follow the colder of the two temperatures; a doubt about either of them stays.
    flags[row] = (warm < before ? flag & ~3 : kept & ~3) | ((kept | flag | apart) & 3);
    runs[row] = Math.max(ran, run);
  };
  return {
    /** Adds a row; `at` in ms since 1970, `warm` (the temperature) in ticks. */
    add: (at: number, warm: number, flag: number, run: number): void => {
      if (count > 0 && ms[count - 1] === at) return join(count - 1, warm, flag, run);
      ms[count] = at;
      ticks[count] = warm;
      flags[count] = flag;
      runs[count] = run;
      count += 1;
    },
    rows: (): Rows => ({
      ms: ms.subarray(0, count),
      ticks: ticks.subarray(0, count),
      flags: flags.subarray(0, count),
      runs: runs.subarray(0, count),
    }),
  };
};

const merged = (one: Rows, other: Rows): Rows => {
  if (one.ms.length === 0) return other;
  if (other.ms.length === 0) return one;
  const { add, rows } = rowWriter(one.ms.length + other.ms.length);
  let [left, right] = [0, 0];
  const take = (from: Rows, row: number): void =>
    add(from.ms[row] ?? 0, from.ticks[row] ?? 0, from.flags[row] ?? 0, from.runs[row] ?? 0);
  while (left < one.ms.length || right < other.ms.length) {
    if ((one.ms[left] ?? Infinity) <= (other.ms[right] ?? Infinity)) take(one, left++);
    else take(other, right++);
  }
  return rows();
};

/** Merges neighbours pairwise, so that many small imports cost no more than a few large ones. */
export const mergedAll = (all: readonly Rows[]): Rows => {
  const [first, second] = all;
  if (first === undefined) return rowWriter(0).rows();
  if (second === undefined) return first;
  const middle = all.length >> 1;
  return merged(mergedAll(all.slice(0, middle)), mergedAll(all.slice(middle)));
};
