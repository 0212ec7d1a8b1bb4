import { wrong, type Fault } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { shown } from '../procedure/message.ts';
import { mapEntryAt, kindOf, type MapNode, type TextNode, type Tree } from '../procedure/tree.ts';
import { parseDay } from '../quantity/time.ts';

/*
 * How one file of the build is read from a tree with positions. Every fault is reported with its place, and none is thrown.
 */

export interface FileReading {
  readonly file: string;
  readonly faults: Fault[];
}

/** At most this many faults are reported for one file. Whoever fixes those sees the rest on the next run. */
const mostFaults = 100;

/** Records one fault and its place, unless there are too many already. @param at `line` and `column` count from 1. */
export const sayAt = (
  reading: FileReading,
  at: Tree | { line: number; column: number },
  code: string,
  what: string,
  todo: string,
): void => {
  if (reading.faults.length < mostFaults)
    reading.faults.push(wrong(code, what, todo, `${reading.file}:${at.line}:${at.column}`));
};

export const listUnder = (reading: FileReading, tree: Tree, key: string): readonly Tree[] => {
  const value = mapEntryAt(tree, key)?.value;
  if (value === undefined || value.kind === 'hole') return [];
  if (value.kind === 'list') return value.items;
  sayAt(reading, value, 'wrong-type', `${key} holds ${kindOf(value)}`, 'write a list');
  return [];
};

/** A list of plain texts. */
export const textsUnder = (reading: FileReading, tree: Tree, key: string): readonly string[] =>
  listUnder(reading, tree, key).flatMap((node) => {
    if (node.kind === 'text') return [node.text];
    if (node.kind !== 'hole')
      sayAt(reading, node, 'wrong-type', `${key} holds ${kindOf(node)}`, 'write a list of texts');
    return [];
  });

export const checkKeys = (reading: FileReading, map: MapNode, known: readonly string[]): void => {
  for (const { key, at } of map.entries) {
    if (known.includes(key)) continue;
    const near = suggest(key, known);
    sayAt(
      reading,
      at,
      'unknown-key',
      `the key ${shown(key)} is not known here`,
      near ? `write ${near} instead` : `known: ${known.join(', ')}`,
    );
  }
};

export const mapItem = (reading: FileReading, tree: Tree, what: string): MapNode | undefined => {
  if (tree.kind === 'map') return tree;
  if (tree.kind !== 'hole')
    sayAt(reading, tree, 'wrong-type', `${what} is ${kindOf(tree)}`, `write keys, such as { ${what}: … }`);
  return undefined;
};

export const textUnder = (reading: FileReading, map: Tree, key: string): TextNode | undefined => {
  const value = mapEntryAt(map, key)?.value;
  if (value === undefined || value.kind === 'hole') return undefined;
  if (value.kind === 'text') return value;
  sayAt(reading, value, 'wrong-type', `${key} holds ${kindOf(value)}`, 'write text');
  return undefined;
};

export const requiredText = (reading: FileReading, map: MapNode, key: string, of: string): string => {
  const node = textUnder(reading, map, key);
  if (!node && !mapEntryAt(map, key)) sayAt(reading, map, 'missing-key', `${of} has no ${key}`, `add ${key}`);
  return node?.text ?? '';
};

const checkDay = (reading: FileReading, map: MapNode, key: string): void => {
  const node = textUnder(reading, map, key);
  if (node && !parseDay(node.text).ok)
    sayAt(reading, node, 'day-unreadable', `${key} ${shown(node.text)} is not a day`, 'write it as 2027-01-31');
};

/** The texts of one list item under the known keys. Every unknown key, and every value that is not a text, is reported as a fault. */
export const textLineOf = (
  reading: FileReading,
  map: MapNode,
  known: readonly string[],
  days: readonly string[],
): Record<string, string> => {
  checkKeys(reading, map, known);
  for (const day of days) checkDay(reading, map, day);
  return Object.fromEntries(
    known.flatMap((key) => {
      const text = textUnder(reading, map, key)?.text;
      return text === undefined ? [] : [[key, text]];
    }),
  );
};

export const sayTwice = (reading: FileReading, tree: Tree, what: string, ids: readonly string[]): void => {
  const seen = new Set<string>();
  const again = ids.find((id) => id !== '' && (seen.has(id) || !seen.add(id)));
  if (again !== undefined) sayAt(reading, tree, 'duplicate-id', `the ${what} ${shown(again)} stands twice`, 'keep one');
};
