import type { LooseItem } from './state.ts';

/** How many of a loose item are still open. */
export const leftOpen = (item: Pick<LooseItem, 'count' | 'closings'>): number =>
  Math.max(
    0,
    item.closings.reduce((left, closing) => left - closing.count, item.count),
  );

/** True where some of the item is open, and the step that left it has not been taken apart. */
export const isOpenItem = (item: LooseItem): boolean => item.superseded === undefined && leftOpen(item) > 0;
