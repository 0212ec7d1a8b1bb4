import { latest, memoised, memoisedBy, once } from '../fault/memo.ts';
import type { Cure } from '../procedure/model.ts';
import type { Column } from './column.ts';
import { isTyped } from './column-rows.ts';
import { countBands, eachInterval, limitsOf, type Bands, type CureLimits, type WhyNot } from './cure-count.ts';

/**
 * The time between two readings. Neighbouring rows of a log that count alike are joined into one stretch, which has the temperature of the
 * coldest.
 */
interface Stretch {
  /** In ms since 1970, as is `to`. */
  readonly from: number;
  readonly to: number;
  /** The coldest temperature, ticks. */
  readonly cold: number;
  readonly why: WhyNot;
  /** The row (index from 0) at the end of the coldest part, or the next one after it. */
  readonly row: number;
}

/** True where a span begins at a logger's row, so that nobody looks for its beginning. @param span index from 0. */
const beginsLogged = (column: Column, span: number): boolean => {
  const before = (column.spans.row[span] ?? 0) - 1;
  return column.spans.ms[span - 1] === column.ms[before] && !isTyped(column, before);
};

const stretchesOf = ({ column, limits, begun, at }: CureWindow): readonly Stretch[] => {
  const found: { from: number; to: number; cold: number; why: WhyNot; row: number }[] = [];
  eachInterval(column, limits, begun, at, (from, to, cold, why, span) => {
    const before = found.at(-1);
    const row = column.spans.row[span] ?? 0;
    if (before?.why === why && beginsLogged(column, span)) {
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

/** One of the equal parts of a drawn cure curve. */
interface Cell {
  /** The coldest temperature in the part, ticks. */
  readonly cold: number;
  /** True where all of the part's time counted. */
  readonly counted: boolean;
}

/** The parts in order of time; `undefined` where no temperature is known. */
export type Cells = readonly (Cell | undefined)[];

/**
 * The time from the beginning of a cure to `end` (ms since 1970), in `count` equal parts. A part counts only where all of its time does, so
 * that rounding hides no cold hour.
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

/** What the temperatures of one cure are counted over: from its beginning to an instant. */
interface CureWindow {
  readonly column: Column;
  readonly limits: CureLimits;
  /** In ms since 1970. */
  readonly begun: number;
  /** In ms since 1970; Infinity where everything after the beginning counts. */
  readonly at: number;
}

/** What was counted in a window. Each value is worked out when somebody first asks for it, and then kept. */
export interface Counted extends CureWindow {
  readonly bands: () => Bands;
  readonly byCold: () => ReadonlyMap<number, number>;
  readonly stretches: () => readonly Stretch[];
  /** The parts for a drawing up to `end` (ms since 1970); `count` is how many. */
  readonly cells: (end: number, count: number) => Cells;
}

/** A drawing ends at a whole minute, because a screen cannot show a finer step and one drawing then serves for a minute; ms. */
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

/** Nothing can count after the last reading, so this count stays the same until another reading is entered. */
const countedToTheLast = memoised((column: Column) =>
  memoisedBy((limits: CureLimits, begun: number) => counting({ column, limits, begun, at: Infinity })),
);

/** What a cure counted from `begun` to `at`, both in ms since 1970. The bench asks many times a second, mostly when nothing is new. */
export const countedAt = (column: Column, cure: Cure, begun: number, at: number): Counted => {
  const limits = limitsOf(cure);
  return at < (column.ms.at(-1) ?? Infinity)
    ? counting({ column, limits, begun, at })
    : countedToTheLast(column)(limits, begun);
};
