import { suggest } from '../fault/nearest.ts';
import { type MapNode, type Tree, valueOf } from './tree.ts';

interface FormerKey {
  readonly old: string;
  readonly now: string;
  /** A key that is known only in the same kind of map, which says where the former name counts. */
  readonly beside: string;
}

/** Keys that had another name before edition 1 of the format. */
const inHead: FormerKey = { old: 'needs', now: 'gather', beside: 'steps' };
const inResult: FormerKey = { old: 'with', now: 'from', beside: 'calculation' };

/** The known key that was most likely meant: the present name of a former one, else the nearest in spelling. */
export const keyMeant = (typed: string, known: readonly string[]): string | undefined =>
  [inHead, inResult].find(({ old, beside }) => old === typed && known.includes(beside))?.now ?? suggest(typed, known);

/** What a head gathers, under the former key too, which has its own message already. */
export const gatherOf = (tree: Tree): Tree | undefined => valueOf(tree, inHead.now) ?? valueOf(tree, inHead.old);

/** A map with a former key under its present name. Where both stand, the former one stays, and is an unknown key. */
const renamed = (tree: Tree, { old, now }: FormerKey): Tree =>
  tree.kind !== 'map' || valueOf(tree, old) === undefined || valueOf(tree, now) !== undefined
    ? tree
    : { ...tree, entries: tree.entries.map((entry) => (entry.key === old ? { ...entry, key: now } : entry)) };

/** A map with every item of its list `key` changed. */
const withItems = (tree: Tree, key: string, change: (item: Tree) => Tree): Tree => {
  const list = valueOf(tree, key);
  if (tree.kind !== 'map' || list?.kind !== 'list') return tree;
  const value = { ...list, items: list.items.map(change) };
  const entries: MapNode['entries'] = tree.entries.map((entry) => (entry.key === key ? { ...entry, value } : entry));
  return { ...tree, entries };
};

/** A procedure's tree with former keys under their present names. */
export const withPresentKeys = (tree: Tree): Tree =>
  withItems(renamed(tree, inHead), 'steps', (step) =>
    withItems(step, 'results', (result) => renamed(result, inResult)),
  );
