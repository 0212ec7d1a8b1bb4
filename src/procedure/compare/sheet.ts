import type { Limits } from '../../quantity/limits.ts';
import type { Quantity } from '../../quantity/quantity.ts';
import type { Unit } from '../../quantity/units.ts';

/**
 * A procedure laid out for comparison: everything under its key in the file, with defaults filled in. Two procedures that mean the same have the
 * same sheet, and each difference has one place.
 */
export type Node = Leaf | Group | List;

/** How a leaf is compared: `words` word by word, `limits` end by end, `amounts` exactly and whatever their units, the rest by its text. */
export type LeafValue =
  | { readonly as: 'words' }
  | { readonly as: 'plain' }
  | { readonly as: 'limits'; readonly limits: Limits }
  /** Limits that decide whether something is done at all, so that neither tighter nor looser means anything. */
  | { readonly as: 'condition'; readonly limits: Limits }
  | { readonly as: 'unit'; readonly unit: Unit }
  | { readonly as: 'amounts'; readonly amounts: readonly Amount[] };

/** A time in milliseconds (with months, where it is a span of the calendar), or a quantity. */
export type Amount = { readonly ms: number; readonly months: number; readonly text: string } | Quantity;

export interface Leaf {
  readonly is: 'leaf';
  /** As the file has it. */
  readonly text: string;
  readonly value: LeafValue;
}

export interface Group {
  readonly is: 'group';
  readonly fields: Fields;
}

/** By key in the file. `undefined` is the same as absent: the key means nothing here, or is not there. */
export type Fields = Readonly<Record<string, Node | undefined>>;

export interface List {
  readonly is: 'list';
  /** `words`: the items are texts, and a reworded one counts as the same. */
  readonly of: 'ids' | 'words';
  readonly items: readonly SheetItem[];
}

/** Ids are distinct within a list. */
export interface SheetItem {
  readonly id: string;
  readonly node: Node;
}

export const groupField = (fields: Fields): Group => ({ is: 'group', fields });

export const words = (text: string | undefined): Leaf | undefined =>
  text === undefined ? undefined : { is: 'leaf', text, value: { as: 'words' } };

export const plain = (value: string | number | boolean | undefined): Leaf | undefined =>
  value === undefined ? undefined : { is: 'leaf', text: String(value), value: { as: 'plain' } };

export const limitsLeaf = (limits: Limits | undefined, text = limits?.text ?? ''): Leaf | undefined =>
  limits === undefined ? undefined : { is: 'leaf', text, value: { as: 'limits', limits } };

export const conditionLeaf = (limits: Limits): Leaf => ({
  is: 'leaf',
  text: limits.text,
  value: { as: 'condition', limits },
});

export const amountsLeaf = (text: string, amounts: readonly Amount[]): Leaf => ({
  is: 'leaf',
  text,
  value: { as: 'amounts', amounts },
});

interface Timed {
  readonly text: string;
  readonly ms: number;
  readonly months?: number;
}

export const time = ({ text, ms, months = 0 }: Timed): Amount => ({ text, ms, months });

export const timeLeaf = (timed: Timed | undefined): Leaf | undefined =>
  timed === undefined ? undefined : amountsLeaf(timed.text, [time(timed)]);

export const quantityLeaf = (quantity: Quantity | undefined): Leaf | undefined =>
  quantity === undefined ? undefined : amountsLeaf(quantity.text, [quantity]);

/** A second item with the same id gets a number behind it. */
export const listItems = (of: List['of'], items: readonly SheetItem[]): List => {
  if (items.length < 2) return { is: 'list', of, items };
  const seen = new Map<string, number>();
  return {
    is: 'list',
    of,
    items: items.map((item) => {
      const count = (seen.get(item.id) ?? 0) + 1;
      seen.set(item.id, count);
      return count === 1 ? item : { ...item, id: `${item.id} (${count})` };
    }),
  };
};

const leafOf = (text: string): Leaf => ({ is: 'leaf', text, value: { as: 'plain' } });

/** A list of names. */
export const names = (ids: readonly string[]): List =>
  listItems(
    'ids',
    ids.map((id) => ({ id, node: leafOf(id) })),
  );

/** A list of texts. */
export const textItems = (lines: readonly string[]): List =>
  listItems(
    'words',
    lines.map((text) => ({ id: text, node: leafOf(text) })),
  );
