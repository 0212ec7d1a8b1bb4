import { type Document, isMap, isScalar, isSeq, type Pair, type Scalar, type YAMLMap, type YAMLSeq } from 'yaml';
import { type Message, mostMessages, shown } from '../message.ts';
import type { MapEntry, HoleNode, ListNode, MapNode, TextNode, Tree } from '../tree.ts';
import { firstSteering } from './characters.ts';
import { cutAfter, cutWhole, type Hashes } from './cut.ts';
import { messageFor, sourcePlaceAt, type Source } from './source.ts';

/** YAML's nodes into our tree, with a message for everything that YAML takes and we do not. */
export interface Grown {
  readonly tree: Tree;
  readonly messages: readonly Message[];
}

interface Growing {
  readonly source: Source;
  readonly hashes: Hashes;
  readonly messages: Message[];
}

const offsetOf = (node: unknown, otherwise: number): number =>
  (node as { range?: readonly number[] | null } | null)?.range?.[0] ?? otherwise;

const hole = ({ source }: Growing, offset: number): HoleNode => ({ kind: 'hole', ...sourcePlaceAt(source, offset) });

const tell = (growing: Growing, ...[offset, code, what, todo, level]: Tail): void => {
  if (growing.messages.length > mostMessages) return;
  growing.messages.push(messageFor(growing.source, offset, code, what, todo, level));
};
type Tail = Parameters<typeof messageFor> extends [Source, ...infer Rest] ? Rest : never;

const tellCut = (growing: Growing, offset: number): void =>
  tell(growing, offset, 'text-cut', 'the text is cut here: # after a space begins a comment', cutTodo);
const cutTodo = 'put the text in quotes, or a space after the # of a comment';

const isEmpty = (node: Scalar): boolean => String(node.value).trim() === '';

/** Text; a hole where it is cut, or holds what must not reach a terminal. `from` is where its key or dash stands. */
const growText = (growing: Growing, node: Scalar, from: number, inFlow: boolean): TextNode | HoleNode => {
  const [start, end] = node.range!;
  const cut = cutAfter(growing.source, node, from, inFlow);
  if (cut !== undefined) {
    tellCut(growing, cut);
    return hole(growing, start);
  }
  const text = String(node.value);
  const spelled = node.type === 'QUOTE_DOUBLE' && growing.source.text.slice(start, end).includes('\\');
  const steering = spelled ? firstSteering(text) : undefined;
  if (steering !== undefined) {
    const what = `the text spells the character ${steering}, which steers terminals or hides text`;
    tell(growing, start, 'control-character', what, 'take it out');
  }
  return { kind: 'text', text: text.replace(/\n+$/, ''), ...sourcePlaceAt(growing.source, start) };
};

/** A value under a key or a dash at `from`, named `owner` in messages. */
const growValue = (growing: Growing, node: unknown, from: number, owner: string, inFlow: boolean): Tree => {
  if (isMap(node)) return growMap(growing, node, from);
  if (isSeq(node)) return growList(growing, node, from);
  if (node === null || (isScalar(node) && isEmpty(node))) {
    const cut = cutWhole(growing.source, growing.hashes, from);
    if (cut !== undefined) tellCut(growing, cut);
    else tell(growing, from, 'empty-value', `${owner} is empty`, 'give it a value, or take it out');
    return hole(growing, from);
  }
  // Whatever is left is an alias, which has been told where it stands.
  return isScalar(node) ? growText(growing, node, from, inFlow) : hole(growing, from);
};

const conjunction = /^(?:and|or|but|nor|so|yet|then)\s/;

const growList = (growing: Growing, node: YAMLSeq, from: number): ListNode => {
  const start = offsetOf(node, from);
  const items = node.items.map((item, index) => {
    const at = offsetOf(item, start);
    const grown = growValue(growing, item, at, 'an item of this list', node.flow === true);
    if (
      node.flow === true &&
      index > 0 &&
      isScalar(item) &&
      item.type === 'PLAIN' &&
      conjunction.test(String(item.value))
    )
      tell(
        growing,
        at,
        'list-split',
        `a comma makes ${shown(String(item.value))} an item of its own`,
        'put text that holds a comma in quotes',
        'warning',
      );
    return grown;
  });
  return { kind: 'list', items, ...sourcePlaceAt(growing.source, start) };
};

/** The key as text; told and `undefined` where it is none. */
const growKey = (growing: Growing, pair: Pair, start: number): { text: string; offset: number } | undefined => {
  const offset = offsetOf(pair.key, start);
  if (isScalar(pair.key) && !isEmpty(pair.key)) {
    const text = String(pair.key.value);
    if (text !== '__proto__') return { text, offset };
  }
  tell(growing, offset, 'key-unreadable', 'what stands here cannot be a key', 'write a plain word before the colon');
  return undefined;
};

/** In `{ }` a key without a value is the rest of a text that a comma has split; what came before it is half a text. */
const tellSplit = (growing: Growing, entries: MapEntry[], key: { text: string; offset: number }): void => {
  const what = `a comma splits the text before ${shown(key.text)}`;
  tell(growing, key.offset, 'text-split', what, 'put text that holds a comma in quotes');
  const last = entries.pop();
  if (last !== undefined) entries.push({ ...last, value: { kind: 'hole', ...last.at } });
};

const growMap = (growing: Growing, node: YAMLMap, from: number): MapNode => {
  const start = offsetOf(node, from);
  const entries: MapEntry[] = [];
  const lines = new Map<string, number>();
  for (const pair of node.items) {
    const key = growKey(growing, pair, start);
    if (key === undefined) continue;
    if (node.flow === true && pair.value === null && entries.length > 0) {
      tellSplit(growing, entries, key);
      continue;
    }
    const at = sourcePlaceAt(growing.source, key.offset);
    const first = lines.get(key.text);
    const value = growValue(growing, pair.value, key.offset, key.text, node.flow === true);
    if (first === undefined) {
      lines.set(key.text, at.line);
      entries.push({ key: key.text, at, value });
    } else {
      const what = `${shown(key.text)} stands here twice; the first is on line ${first}`;
      tell(growing, key.offset, 'duplicate-key', what, 'keep one of them');
    }
  }
  return { kind: 'map', entries, ...sourcePlaceAt(growing.source, start) };
};

export const grow = (source: Source, document: Document.Parsed): Grown => {
  const growing: Growing = { source, hashes: { next: -1 }, messages: [] };
  const tree = growValue(growing, document.contents, 0, 'the file', false);
  return { tree, messages: growing.messages };
};
