import type { Marks } from './marks.ts';
import { fit, mark, span, type Row } from './rows.ts';

/** The part of a list that fits into `rows`, with the selected item in it. */
export const windowOf = (
  count: number,
  selected: number,
  rows: number,
): { readonly from: number; readonly to: number } => {
  if (count <= rows) return { from: 0, to: count };
  const from = Math.min(Math.max(0, selected - Math.floor(rows / 2)), count - rows);
  return { from, to: from + rows };
};

export interface ListItem {
  readonly row: Row;
  /** Shown beside it in small, where there is room. */
  readonly aside?: string;
}

/**
 * A list to choose from: a pointer at the selected item (a character, so that it shows without colour), a digit before each of the first
 * nine. It says how many items are above and below those shown.
 */
export const listRows = (
  items: readonly ListItem[],
  selected: number,
  marks: Marks,
  width: number,
  rows: number,
): readonly Row[] => {
  if (rows <= 0) return [];
  const { from, to } = windowOf(items.length, selected, rows);
  return items.slice(from, to).map((item, offset) => {
    const index = from + offset;
    const here = index === selected;
    const edge =
      offset === 0 && from > 0
        ? ` ${marks.up}${from}`
        : index === to - 1 && to < items.length
          ? ` ${marks.down}${items.length - to}`
          : '';
    const digit = index < 9 ? String(index + 1) : ' ';
    const body = [mark(`${here ? marks.pointer : ' '}${digit} `, here ? 'strong' : 'quiet'), ...item.row];
    const aside = item.aside === undefined ? [] : [span(`  ${item.aside}`, 'quiet')];
    return [...fit([...body, ...aside], Math.max(1, width - edge.length)), ...(edge ? [mark(edge, 'quiet')] : [])];
  });
};
