import * as z from 'zod/mini';
import { suggest } from '../fault/nearest.ts';
import type { MessageCode } from './codes.ts';
import { listed, type Message, messageAt, mostMessages, shown } from './message.ts';
import type { SchemaIssue } from './schema/leaves.ts';
import { mapEntryAt, kindOf, type MapEntry, nodeAt, type Path, placeAt, type Tree } from './tree.ts';
import { own } from '../fault/own.ts';

type Issue = z.core.$ZodIssue;

/** An issue that a schema found, with its whole path in the tree. */
interface Found {
  readonly issue: Issue;
  readonly path: Path;
}

type Internals = { readonly def: Readonly<Record<string, unknown>> };

const definition = (schema: unknown): Readonly<Record<string, unknown>> => (schema as { _zod: Internals })._zod.def;

/** The keys that a schema knows for the object at a path. */
const keysAt = (schema: unknown, path: Path): readonly string[] => {
  const def = definition(schema);
  if (def.type === 'pipe') return keysAt(def.in, path);
  if (def.type === 'optional') return keysAt(def.innerType, path);
  if (def.type === 'union') return (def.options as unknown[]).flatMap((option) => keysAt(option, path));
  if (def.type === 'array' && path.length > 0) return keysAt(def.element, path.slice(1));
  if (def.type === 'record' && path.length > 0) return keysAt(def.valueType, path.slice(1));
  if (def.type !== 'object') return [];
  const shape = def.shape as Readonly<Record<string, unknown>>;
  const [key] = path;
  if (key === undefined) return Object.keys(shape);
  const next = own(shape, String(key));
  return next === undefined ? [] : keysAt(next, path.slice(1));
};

/** Of the ways in which a value may be written, the one that was meant: that of the value's own kind (text, list, keys). */
const meant = (branches: readonly (readonly Issue[])[]): readonly Issue[] | undefined =>
  branches.find((issues) => !issues.some(({ code, path }) => code === 'invalid_type' && path.length === 0));

const flatten = (issues: readonly Issue[], above: Path = []): Found[] =>
  issues.flatMap((issue) => {
    const path = [...above, ...issue.path];
    const branch = issue.code === 'invalid_union' ? meant(issue.errors) : undefined;
    return branch === undefined ? [{ issue, path }] : flatten(branch, path);
  });

const wanted: Readonly<Record<string, string>> = {
  string: 'text',
  array: 'a list',
  object: 'keys with values',
  record: 'keys with values',
};

const nameOf = (path: Path, root: string): string => {
  const key = path.findLast((part) => typeof part === 'string');
  return key === undefined ? root : String(key);
};

const expected = (issue: Issue): string => {
  if (issue.code === 'invalid_type') return wanted[issue.expected] ?? issue.expected;
  if (issue.code === 'invalid_union')
    return listed([...new Set(issue.errors.flatMap((errors) => errors.map(expected)))].filter((word) => word !== ''));
  return issue.code === 'invalid_value' ? 'text' : '';
};

const valueWords = (issue: z.core.$ZodIssueInvalidValue, typed: string, name: string): SchemaIssue => {
  const values = issue.values.map(String);
  const near = suggest(typed, values);
  const flag = values.length === 2 && values.includes('true');
  return {
    code: flag ? 'wrong-kind' : 'unknown-value',
    what: `${name} cannot be ${shown(typed)}`,
    todo: near === undefined ? `write ${listed(values)}` : `write ${near}`,
  };
};

const kindWords = (issue: Issue, node: Tree, name: string, isRoot: boolean): SchemaIssue => {
  if (isRoot) return { code: 'wrong-kind', what: `${name} holds ${kindOf(node)}`, todo: 'write "key: value" there' };
  const want = expected(issue);
  const hint = want === 'a list' && node.kind === 'text' ? `write [${node.text}]` : `write ${want}`;
  return { code: 'wrong-kind', what: `${name} wants ${want}, not ${kindOf(node)}`, todo: hint };
};

const wordsFor = ({ issue, path }: Found, node: Tree, root: string): SchemaIssue => {
  const name = nameOf(path, root);
  if (issue.code === 'custom') return issue.params as unknown as SchemaIssue;
  if (issue.code === 'too_small')
    return { code: 'empty-value', what: `${name} is an empty list`, todo: 'fill it, or take it out' };
  if (issue.code === 'invalid_value' && node.kind === 'text') return valueWords(issue, node.text, name);
  return kindWords(issue, node, name, path.length === 0);
};

const missing = (file: string, tree: Tree, path: Path): Message => {
  const name = String(path.at(-1));
  return messageAt(file, placeAt(tree, path), 'missing-key', `${name} is missing`, `add ${name}:`);
};

/** The message for an unknown key, with the key that was most likely meant. */
const unknownKey = (file: string, { key, at }: Pick<MapEntry, 'key' | 'at'>, known: readonly string[]): Message => {
  const meant = suggest(key, known);
  const todo =
    meant === undefined ? `use one of the keys known here: ${listed(known)}` : `write ${meant} instead, or take it out`;
  return messageAt(file, at, 'unknown-key', `the key ${shown(key)} is not known here`, todo);
};

const say = (file: string, tree: Tree, found: Found, schema: unknown, root: string): Message[] => {
  const { issue, path } = found;
  const node = nodeAt(tree, path);
  if (node?.kind === 'hole') return [];
  if (issue.code === 'unrecognized_keys') {
    const known = keysAt(schema, path);
    return issue.keys
      .slice(0, mostMessages)
      .map((key) => unknownKey(file, mapEntryAt(node, key) ?? { key, at: placeAt(tree, path) }, known));
  }
  if (issue.code === 'custom' || node !== undefined) {
    const { code, what, todo } = wordsFor(found, node ?? tree, root);
    return [messageAt(file, placeAt(tree, path), code satisfies MessageCode, what, todo)];
  }
  return [missing(file, tree, path)];
};

/** The most unknown keys of one map that are compared with a missing one. */
const mostKeys = 50;

/** Whether a key is missing because it is misspelt: then the unknown key has its message already. */
const isMisspelt = ({ issue, path }: Found, all: readonly Found[], tree: Tree, schema: unknown): boolean => {
  if (issue.code === 'custom' || issue.code === 'unrecognized_keys' || nodeAt(tree, path) !== undefined) return false;
  const [above, key] = [path.slice(0, -1), String(path.at(-1))];
  return all.some(
    (other) =>
      other.issue.code === 'unrecognized_keys' &&
      other.path.join('\0') === above.join('\0') &&
      other.issue.keys.slice(0, mostKeys).some((typed) => suggest(typed, keysAt(schema, above)) === key),
  );
};

export interface Fitted<T> {
  /** Absent where the schema found an issue. */
  readonly value?: T;
  readonly messages: readonly Message[];
  /** Where the issues are. What follows from a hole is among them, although it has no message. */
  readonly faults: readonly Path[];
}

/**
 * A plain value of a tree read by a schema, with a message for every issue at its place in the file.
 * @param name what is read, in messages
 * @param isAgain whether faults have been cut out of the plain value: then only what the transforms find in the rest is new
 */
export const fitSchema = <T>(
  schema: z.ZodMiniType<T>,
  plain: unknown,
  tree: Tree,
  file: string,
  name: string,
  isAgain = false,
): Fitted<T> => {
  const parsed = schema.safeParse(plain);
  if (parsed.success) return { value: parsed.data, messages: [], faults: [] };
  const all = flatten(parsed.error.issues);
  const found = all.filter((one) => (isAgain ? one.issue.code === 'custom' : !isMisspelt(one, all, tree, schema)));
  return {
    messages: found.flatMap((one) => say(file, tree, one, schema, name)),
    faults: all.flatMap(({ issue, path }) =>
      issue.code === 'unrecognized_keys' ? issue.keys.map((key) => [...path, key]) : [path],
    ),
  };
};
