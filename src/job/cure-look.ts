import { once } from '../fault/memo.ts';
import type { Cure } from '../procedure/model.ts';
import { isTyped, type Column } from './column.ts';
import { countBands, eachInterval, limitsOf, type Bands, type CureLimits, type WhyNot } from './cure-count.ts';

/** What falls between two readings; between rows of a log, neighbours that count alike are one, at the coldest of them. */
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

/** Counted milliseconds at each temperature, ticks. */
const colds = ({ column, limits, begun, at }: CureWindow): ReadonlyMap<number, number> => {
  const times = new Map<number, number>();
  eachInterval(column, limits, begun, at, (from, to, cold, why) => {
    if (why === 0) times.set(cold, (times.get(cold) ?? 0) + (to - from));
  });
  return times;
};

/** One part of a cure's time: the coldest in it, ticks, and whether all of it counted. */
interface Cell {
  readonly cold: number;
  readonly counted: boolean;
}

export type Cells = readonly (Cell | undefined)[];

/**
 * The time from the beginning of a cure to an instant in so many equal parts; nothing where nothing is known. A part with anything in it
 * that does not count does not count: nothing uncounted hides behind the rounding.
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

/** One cure, looked at up to an instant. */
interface CureWindow {
  readonly column: Column;
  readonly limits: CureLimits;
  readonly begun: number;
  readonly at: number;
}

/** What was counted in it, each of it made when it is asked for and then kept. */
export interface Counted extends CureWindow {
  readonly bands: () => Bands;
  readonly byCold: () => ReadonlyMap<number, number>;
  readonly stretches: () => readonly Stretch[];
  /** To be drawn up to an instant, in so many parts. */
  readonly cells: (end: number, count: number) => Cells;
}

/** Drawn again once a minute: nobody sees a finer step in the width of a screen. */
const minute = 60_000;

const counting = (column: Column, limits: CureLimits, begun: number, at: number): Counted => {
  const look: CureWindow = { column, limits, begun, at };
  let drawn: { readonly end: number; readonly count: number; readonly cells: Cells } | undefined;
  return {
    ...look,
    bands: once(() => countBands(column, limits, begun, at)),
    byCold: once(() => colds(look)),
    stretches: once(() => stretchesOf(look)),
    cells: (until, count) => {
      const end = Math.ceil(until / minute) * minute;
      if (drawn?.end !== end || drawn.count !== count) drawn = { end, count, cells: cellsOf(look, end, count) };
      return drawn.cells;
    },
  };
};

const counted = new WeakMap<Column, Map<CureLimits, Map<number, Counted>>>();

/** The same look is taken many times a second while nothing is entered: once the last reading is past, nothing more can count. */
export const countedAt = (column: Column, cure: Cure, begun: number, at: number): Counted => {
  const limits = limitsOf(cure);
  if (at < (column.ms.at(-1) ?? Infinity)) return counting(column, limits, begun, at);
  const byLimits = counted.get(column) ?? new Map<CureLimits, Map<number, Counted>>();
  counted.set(column, byLimits);
  const byBegun = byLimits.get(limits) ?? new Map<number, Counted>();
  byLimits.set(limits, byBegun);
  const known = byBegun.get(begun) ?? counting(column, limits, begun, at);
  byBegun.set(begun, known);
  return known;
};
