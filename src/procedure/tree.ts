import { memoised } from '../fault/memo.ts';
import type { SourcePlace } from './message.ts';

/** A YAML document as plain data, each node with its place in the file. Every scalar is the text that was typed. */
export type Tree = TextNode | ListNode | MapNode | HoleNode;

export interface TextNode extends SourcePlace {
  readonly kind: 'text';
  /** Without line breaks at its end. */
  readonly text: string;
}

export interface ListNode extends SourcePlace {
  readonly kind: 'list';
  readonly items: readonly Tree[];
}

export interface MapNode extends SourcePlace {
  readonly kind: 'map';
  readonly entries: readonly MapEntry[];
}

/** Stands for something faulty that has its message already, so that nothing that follows from it gets another. */
export interface HoleNode extends SourcePlace {
  readonly kind: 'hole';
}

export interface MapEntry {
  readonly key: string;
  readonly at: SourcePlace;
  readonly value: Tree;
}

export type Path = readonly PropertyKey[];

const kinds: Readonly<Record<Tree['kind'], string>> = { text: 'text', list: 'a list', map: 'keys', hole: 'nothing' };

/** What stands here, in the words of a message: `text`, `a list`, `keys`. */
export const kindOf = (tree: Tree): string => kinds[tree.kind];

/** A map with more keys than this is searched by an index. */
const large = 32;

const indexOf = memoised(
  ({ entries }: MapNode): ReadonlyMap<string, MapEntry> => new Map(entries.map((entry) => [entry.key, entry])),
);

export const mapEntryAt = (tree: Tree | undefined, key: string): MapEntry | undefined => {
  if (tree?.kind !== 'map') return undefined;
  return tree.entries.length > large ? indexOf(tree).get(key) : tree.entries.find((entry) => entry.key === key);
};

export const valueOf = (tree: Tree | undefined, key: string): Tree | undefined => mapEntryAt(tree, key)?.value;

export const textAt = (tree: Tree | undefined, key: string): string | undefined => {
  const value = valueOf(tree, key);
  return value?.kind === 'text' ? value.text : undefined;
};

export const itemsOf = (tree: Tree | undefined, key: string): readonly Tree[] => {
  const value = valueOf(tree, key);
  return value?.kind === 'list' ? value.items : [];
};

/** The texts under a key that holds a list of texts or one text. */
export const textsOf = (tree: Tree | undefined, key: string): readonly TextNode[] => {
  const value = valueOf(tree, key);
  const nodes = value?.kind === 'list' ? value.items : value === undefined ? [] : [value];
  return nodes.filter((node) => node.kind === 'text');
};

const child = (tree: Tree, key: PropertyKey): Tree | undefined =>
  tree.kind === 'list' ? tree.items[Number(key)] : valueOf(tree, String(key));

/** The node at a path; `undefined` where there is none. Where the path meets a hole, the hole. */
export const nodeAt = (tree: Tree, path: Path): Tree | undefined => {
  let node: Tree | undefined = tree;
  for (const key of path) {
    if (node === undefined || node.kind === 'hole') return node;
    node = child(node, key);
  }
  return node;
};

/** The place of a path, or of the nearest thing above it that is there. */
export const placeAt = (tree: Tree, path: Path): SourcePlace => {
  let node = tree;
  for (const key of path) {
    const next = child(node, key);
    if (next === undefined) break;
    node = next;
  }
  return { line: node.line, column: node.column };
};

/** As plain data for a schema: texts, arrays, objects; a hole is `undefined`. */
export const toPlain = (tree: Tree): unknown => {
  switch (tree.kind) {
    case 'text':
      return tree.text;
    case 'list':
      return tree.items.map(toPlain);
    case 'map':
      return Object.fromEntries(tree.entries.map(({ key, value }) => [key, toPlain(value)]));
    case 'hole':
      return undefined;
  }
};
