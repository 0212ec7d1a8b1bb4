import type { LooseItem } from './state.ts';

/** How many of a loose item are still open. */
export const leftOpen = (item: Pick<LooseItem, 'count' | 'closings'>): number =>
  Math.max(
    0,
    item.closings
      .filter((closing) => closing.superseded === undefined)
      .reduce((left, { count, gone = 0 }) => left - count - gone, item.count),
  );

/** The gate before which a loose item is closed: the one named last. */
export const dueGate = ({ before, leftAgain }: Pick<LooseItem, 'before' | 'leftAgain'>): string =>
  leftAgain?.at(-1)?.before ?? before;

/** Rule 10 of the design: a loose item is open until all of it is closed by count, whatever becomes of the step that left it. */
export const isOpenItem = (item: LooseItem): boolean => leftOpen(item) > 0;
