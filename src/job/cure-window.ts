import { latest, memoised, memoisedBy, once } from '../fault/memo.ts';
import type { Cure } from '../procedure/model.ts';
import { isTyped, type Column } from './column.ts';
import { countBands, eachInterval, limitsOf, type Bands, type CureLimits, type WhyNot } from './cure-count.ts';

/**
 * The time between two readings. Between rows of a log, neighbours that count alike are joined into one stretch, which has the temperature
 * of the coldest of them.
 */
interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly cold: number;
  readonly why: WhyNot;
  /** The row at which its coldest part ends. */
  readonly row: number;
}

const stretchesOf = ({ column, limits, begun, at }: CureWindow): readonly Stretch[] => {
  const found: { from: number; to: number; cold: number; why: WhyNot; row: number }[] = [];
  eachInterval(column, limits, begun, at, (from, to, cold, why, row) => {
    const before = found.at(-1);
    if (before?.why === why && !isTyped(column, row - 1)) {
      before.to = to;
      if (cold < before.cold) Object.assign(before, { cold, row });
    } else found.push({ from, to, cold, why, row });
  });
  return found;
};

/** Counted milliseconds at each temperature; the keys are ticks. */
const colds = ({ column, limits, begun, at }: CureWindow): ReadonlyMap<number, number> => {
  const times = new Map<number, number>();
  eachInterval(column, limits, begun, at, (from, to, cold, why) => {
    if (why === 0) times.set(cold, (times.get(cold) ?? 0) + (to - from));
  });
  return times;
};

/** One of the equal parts into which the curve of a cure is cut. */
interface Cell {
  /** The coldest temperature in it, ticks. */
  readonly cold: number;
  /** All of it counted. */
  readonly counted: boolean;
}

/** The parts in their order; nothing where no temperature is known. */
export type Cells = readonly (Cell | undefined)[];

/**
 * The time from the beginning of a cure to `end` (ms), in `count` equal parts. A part counts only where all of it does, so that no cold
 * hour is hidden by rounding.
 */
const cellsOf = ({ column, limits, begun, at }: CureWindow, end: number, count: number): Cells => {
  const cells: (Cell | undefined)[] = Array<Cell | undefined>(count).fill(undefined);
  const each = (Math.max(end, begun + 1) - begun) / count;
  eachInterval(column, limits, begun, at, (from, to, cold, why) => {
    const last = Math.min(count, Math.ceil((to - begun) / each));
    for (let index = Math.floor((from - begun) / each); index < last; index += 1) {
      const before = cells[index];
      const isKept = before !== undefined && (before.counted === (why === 0) ? before.cold <= cold : !before.counted);
      if (!isKept) cells[index] = { cold, counted: why === 0 };
    }
  });
  return cells;
};

/** The temperatures of one cure, from its beginning to an instant. */
interface CureWindow {
  readonly column: Column;
  readonly limits: CureLimits;
  /** ms */
  readonly begun: number;
  /** ms; Infinity where nothing comes after the last reading. */
  readonly at: number;
}

/** What was counted in a window. Each of these is worked out when it is first asked for, and then kept. */
export interface Counted extends CureWindow {
  readonly bands: () => Bands;
  readonly byCold: () => ReadonlyMap<number, number>;
  readonly stretches: () => readonly Stretch[];
  /** For a drawing up to `end` (ms), in `count` parts. */
  readonly cells: (end: number, count: number) => Cells;
}

/** A drawing ends at a whole minute: a screen is too narrow to show a finer step, and the last drawing serves for the whole minute. */
const minute = 60_000;

const counting = (window: CureWindow): Counted => {
  const { column, limits, begun, at } = window;
  const drawn = latest((end: number, count: number) => cellsOf(window, end, count));
  return {
    ...window,
    bands: once(() => countBands(column, limits, begun, at)),
    byCold: once(() => colds(window)),
    stretches: once(() => stretchesOf(window)),
    cells: (end, count) => drawn(Math.ceil(end / minute) * minute, count),
  };
};

/** Past the last reading nothing more can count, so that the count stays the same until another reading comes. */
const countedToTheLast = memoised((column: Column) =>
  memoisedBy((limits: CureLimits, begun: number) => counting({ column, limits, begun, at: Infinity })),
);

/** What a cure counted from `begun` to `at`, both ms. The bench asks for it many times a second; most of that time nothing is new. */
export const countedAt = (column: Column, cure: Cure, begun: number, at: number): Counted => {
  const limits = limitsOf(cure);
  return at < (column.ms.at(-1) ?? Infinity)
    ? counting({ column, limits, begun, at })
    : countedToTheLast(column)(limits, begun);
};
