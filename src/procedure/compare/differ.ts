import { brief } from './brief.ts';
import type { Change, ChangeKind, Edit } from './change.ts';
import { leafChange } from './leaves.ts';
import { rewordedIn } from './reworded.ts';
import { movedBetween, movedPlaces } from './sequence.ts';
import type { Fields, Group, SheetItem, Leaf, List, Node } from './sheet.ts';

/** Where in a procedure two nodes are compared. */
export interface Spot {
  readonly step: string;
  readonly reading?: string;
  /** The keys that lead from the procedure's sheet to the node. */
  readonly path: readonly string[];
  /** The keys by which the change names the node. */
  readonly named: readonly string[];
}

const under = (spot: Spot, key: string): Spot => ({
  ...spot,
  path: [...spot.path, key],
  named: [...spot.named, key],
});

const tell = (
  spot: Spot,
  kind: ChangeKind,
  said: { readonly old?: string | undefined; readonly new?: string | undefined },
  edit: Edit,
): Change => ({
  step: spot.step,
  ...(spot.reading === undefined ? {} : { reading: spot.reading }),
  kind,
  what: spot.named.join(' '),
  ...(said.old === undefined ? {} : { old: said.old }),
  ...(said.new === undefined ? {} : { new: said.new }),
  path: spot.path,
  edit,
});

const textOf = (node: Node | undefined): string | undefined =>
  node === undefined ? undefined : node.is === 'leaf' ? node.text : brief(node);

/** A change of what stands under one key; the edit sets it in the group above. */
const setUnder = (
  spot: Spot,
  key: string,
  kind: ChangeKind,
  before: Node | undefined,
  after: Node | undefined,
): Change => ({
  ...tell(
    { ...spot, named: [...spot.named, key] },
    kind,
    { old: textOf(before), new: textOf(after) },
    { do: 'set', fields: { [key]: after } },
  ),
});

const diffLeaves = (spot: Spot, key: string, before: Leaf | undefined, after: Leaf | undefined): readonly Change[] => {
  const kind = leafChange(before, after);
  return kind === undefined ? [] : [setUnder(spot, key, kind, before, after)];
};

const isEmptyList = (node: Node): boolean => node.is === 'list' && node.items.length === 0;

const diffUnder = (spot: Spot, key: string, before: Node | undefined, after: Node | undefined): readonly Change[] => {
  if (before === undefined && after === undefined) return [];
  if (before?.is === 'group' && after?.is === 'group') return diffGroups(under(spot, key), before, after);
  if (before?.is === 'list' && after?.is === 'list') return diffLists(under(spot, key), before, after);
  if (before?.is !== 'group' && before?.is !== 'list' && after?.is !== 'group' && after?.is !== 'list')
    return diffLeaves(spot, key, before, after);
  const there = before ?? after;
  // An empty list that the other kind of thing (such as a reading of text) does not have is not a change.
  const kind = before === undefined ? 'added' : after === undefined ? 'removed' : 'changed';
  if (there !== undefined && isEmptyList(there) && (before === undefined || after === undefined)) return [];
  return [setUnder(spot, key, kind, before, after)];
};

const keysOf = (before: Fields, after: Fields): readonly string[] => [
  ...new Set([...Object.keys(after), ...Object.keys(before)]),
];

export const diffGroups = (spot: Spot, before: Group, after: Group): readonly Change[] =>
  keysOf(before.fields, after.fields).flatMap((key) => diffUnder(spot, key, before.fields[key], after.fields[key]));

/** The place of a change within an item of a list. */
export type SpotOfItem = (list: Spot, id: string) => Spot;

const itemSpot: SpotOfItem = (list, id) => under(list, id);

const behind = (items: readonly SheetItem[], index: number): { readonly after?: string } => {
  const before = items[index - 1]?.id;
  return before === undefined ? {} : { after: before };
};

const placeText = (items: readonly SheetItem[], id: string): string => {
  const index = items.findIndex((item) => item.id === id);
  const before = items[index - 1]?.id;
  return before === undefined ? 'first' : `after ${before}`;
};

/** Whether an item is a bare name or text, which its change shows anyway, so that its id is not named too. */
const isBare = ({ id, node }: SheetItem): boolean =>
  node.is === 'leaf' && (node.text === id || id.startsWith(`${node.text} (`));

const spotFor = (list: Spot, item: SheetItem, spotOf: SpotOfItem): Spot =>
  isBare(item) ? list : spotOf(list, item.id);

/** The changes of a list: items that went, came, moved (as few as possible), and changed within. */
export const diffLists = (spot: Spot, before: List, after: List, spotOf: SpotOfItem = itemSpot): readonly Change[] => {
  if (before.items.length === 0 && after.items.length === 0) return [];
  const pairs = rewordedIn(before, after);
  const oldItems = before.items.map((item) => ({ ...item, id: pairs.get(item.id) ?? item.id }));
  const [oldById, newById] = [byId(oldItems), byId(after.items)];
  const moved = movedBetween(
    oldItems.map(({ id }) => id),
    after.items.map(({ id }) => id),
  );
  const removed = before.items
    .filter(({ id }) => !newById.has(pairs.get(id) ?? id))
    .map((item) =>
      at(spotFor(spot, item, spotOf), spot, 'removed', { old: brief(item.node) }, { do: 'remove', id: item.id }),
    );
  const changed = before.items
    .filter(({ id }) => pairs.has(id))
    .map((item) => {
      const by = newById.get(pairs.get(item.id)!)!;
      return at(
        spot,
        spot,
        'text',
        { old: item.id, new: by.id },
        { do: 'replace', id: item.id, by: by.id, node: by.node },
      );
    });
  const standing = after.items.flatMap((item, index): readonly Change[] => {
    const old = oldById.get(item.id);
    const here = spotFor(spot, item, spotOf);
    if (old === undefined)
      return [
        at(here, spot, 'added', { new: brief(item.node) }, { do: 'insert', ...item, ...behind(after.items, index) }),
      ];
    const move = moved.has(item.id)
      ? [
          at(here, spot, 'moved', movedPlaces(placeText(oldItems, item.id), placeText(after.items, item.id)), {
            do: 'move',
            id: item.id,
            ...behind(after.items, index),
          }),
        ]
      : [];
    return after.of === 'words' ? move : [...move, ...diffItem(spot, here, item, old)];
  });
  return [...removed, ...changed, ...standing];
};

/** A change that is named by the item and carried out in its list. */
const at = (
  told: Spot,
  list: Spot,
  kind: ChangeKind,
  said: { readonly old?: string; readonly new?: string },
  edit: Edit,
): Change => tell({ ...told, path: list.path }, kind, said, edit);

const diffItem = (list: Spot, here: Spot, item: SheetItem, old: SheetItem): readonly Change[] => {
  const [a, b] = [old.node, item.node];
  if (a.is === 'group' && b.is === 'group') return diffGroups({ ...here, path: [...list.path, item.id] }, a, b);
  if (a.is !== 'leaf' || b.is !== 'leaf') return [];
  const kind = leafChange(a, b);
  return kind === undefined
    ? []
    : [at(here, list, kind, { old: a.text, new: b.text }, { do: 'replace', id: item.id, by: item.id, node: b })];
};

const byId = (items: readonly SheetItem[]): ReadonlyMap<string, SheetItem> =>
  new Map(items.map((item) => [item.id, item]));
