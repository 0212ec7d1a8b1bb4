import { type Document, isMap, isScalar, isSeq, type Pair, type Scalar, type YAMLMap, type YAMLSeq } from 'yaml';
import { type Message, mostMessages, shown } from '../message.ts';
import type { MapEntry, HoleNode, ListNode, MapNode, TextNode, Tree } from '../tree.ts';
import { firstSteering } from './characters.ts';
import { cutAfter, cutWhole, type Hashes } from './cut.ts';
import { messageFor, sourcePlaceAt, type Source } from './source.ts';

export interface TreeMade {
  readonly tree: Tree;
  readonly messages: readonly Message[];
}

/** What is known while YAML's nodes are walked over. */
interface Walk {
  readonly source: Source;
  readonly hashes: Hashes;
  readonly messages: Message[];
}

const offsetOf = (node: unknown, otherwise: number): number =>
  (node as { range?: readonly number[] | null } | null)?.range?.[0] ?? otherwise;

const hole = ({ source }: Walk, offset: number): HoleNode => ({ kind: 'hole', ...sourcePlaceAt(source, offset) });

const report = (walk: Walk, ...[offset, code, what, todo, level]: Tail): void => {
  if (walk.messages.length > mostMessages) return;
  walk.messages.push(messageFor(walk.source, offset, code, what, todo, level));
};
type Tail = Parameters<typeof messageFor> extends [Source, ...infer Rest] ? Rest : never;

const reportCut = (walk: Walk, offset: number): void =>
  report(walk, offset, 'text-cut', 'the text is cut here: # after a space begins a comment', cutTodo);
const cutTodo = 'put the text in quotes, or a space after the # of a comment';

const isEmpty = (node: Scalar): boolean => String(node.value).trim() === '';

/** A text node; a hole where the text is cut short or has characters that are not allowed. `from` is the offset of its key or dash. */
const textNode = (walk: Walk, node: Scalar, from: number, inFlow: boolean): TextNode | HoleNode => {
  const [start, end] = node.range!;
  const cut = cutAfter(walk.source, node, from, inFlow);
  if (cut !== undefined) {
    reportCut(walk, cut);
    return hole(walk, start);
  }
  const text = String(node.value);
  const spelled = node.type === 'QUOTE_DOUBLE' && walk.source.text.slice(start, end).includes('\\');
  const steering = spelled ? firstSteering(text) : undefined;
  if (steering !== undefined) {
    const what = `the text spells the character ${steering}, which steers terminals or hides text`;
    report(walk, start, 'control-character', what, 'take it out');
  }
  return { kind: 'text', text: text.replace(/\n+$/, ''), ...sourcePlaceAt(walk.source, start) };
};

/** The node of a value whose key or dash is at offset `from`; messages call it `owner`. */
const valueNode = (walk: Walk, node: unknown, from: number, owner: string, inFlow: boolean): Tree => {
  if (isMap(node)) return mapNode(walk, node, from);
  if (isSeq(node)) return listNode(walk, node, from);
  if (node === null || (isScalar(node) && isEmpty(node))) {
    const cut = cutWhole(walk.source, walk.hashes, from);
    if (cut !== undefined) reportCut(walk, cut);
    else report(walk, from, 'empty-value', `${owner} is empty`, 'give it a value, or take it out');
    return hole(walk, from);
  }
  // Whatever is left is an alias, which has its own message.
  return isScalar(node) ? textNode(walk, node, from, inFlow) : hole(walk, from);
};

const conjunction = /^(?:and|or|but|nor|so|yet|then)\s/;

const listNode = (walk: Walk, node: YAMLSeq, from: number): ListNode => {
  const start = offsetOf(node, from);
  const items = node.items.map((item, index) => {
    const at = offsetOf(item, start);
    const value = valueNode(walk, item, at, 'an item of this list', node.flow === true);
    if (
      node.flow === true &&
      index > 0 &&
      isScalar(item) &&
      item.type === 'PLAIN' &&
      conjunction.test(String(item.value))
    )
      report(
        walk,
        at,
        'list-split',
        `a comma makes ${shown(String(item.value))} an item of its own`,
        'put text that holds a comma in quotes',
        'warning',
      );
    return value;
  });
  return { kind: 'list', items, ...sourcePlaceAt(walk.source, start) };
};

/** The key as text; `undefined`, with a message, where it is not text. */
const keyText = (walk: Walk, pair: Pair, start: number): { text: string; offset: number } | undefined => {
  const offset = offsetOf(pair.key, start);
  if (isScalar(pair.key) && !isEmpty(pair.key)) {
    const text = String(pair.key.value);
    if (text !== '__proto__') return { text, offset };
  }
  report(walk, offset, 'key-unreadable', 'what stands here cannot be a key', 'write a plain word before the colon');
  return undefined;
};

/** In `{ }` a key without a value is the rest of a text that a comma has split, so that the value before it is half a text. */
const reportSplit = (walk: Walk, entries: MapEntry[], key: { text: string; offset: number }): void => {
  const what = `a comma splits the text before ${shown(key.text)}`;
  report(walk, key.offset, 'text-split', what, 'put text that holds a comma in quotes');
  const last = entries.pop();
  if (last !== undefined) entries.push({ ...last, value: { kind: 'hole', ...last.at } });
};

const mapNode = (walk: Walk, node: YAMLMap, from: number): MapNode => {
  const start = offsetOf(node, from);
  const entries: MapEntry[] = [];
  const lines = new Map<string, number>();
  for (const pair of node.items) {
    const key = keyText(walk, pair, start);
    if (key === undefined) continue;
    if (node.flow === true && pair.value === null && entries.length > 0) {
      reportSplit(walk, entries, key);
      continue;
    }
    const at = sourcePlaceAt(walk.source, key.offset);
    const first = lines.get(key.text);
    const value = valueNode(walk, pair.value, key.offset, key.text, node.flow === true);
    if (first === undefined) {
      lines.set(key.text, at.line);
      entries.push({ key: key.text, at, value });
    } else {
      const what = `${shown(key.text)} stands here twice; the first is on line ${first}`;
      report(walk, key.offset, 'duplicate-key', what, 'keep one of them');
    }
  }
  return { kind: 'map', entries, ...sourcePlaceAt(walk.source, start) };
};

/** YAML's nodes as a tree, with a message for everything that YAML takes and dryfit does not. */
export const toTree = (source: Source, document: Document.Parsed): TreeMade => {
  const walk: Walk = { source, hashes: { next: -1 }, messages: [] };
  const tree = valueNode(walk, document.contents, 0, 'the file', false);
  return { tree, messages: walk.messages };
};
