import { isScalar, type YAMLError } from 'yaml';
import { bounded, messageAt, type Message, hasErrors, shown, sortMessages } from './message.ts';
import type { Tree } from './tree.ts';
import { decodeBytes, largestFile, tooLarge } from './yaml/bytes.ts';
import { characterMessages } from './yaml/characters.ts';
import { compose, type Composed, deepest, isWhole, type Forbidden } from './yaml/compose.ts';
import { toTree } from './yaml/to-tree.ts';
import { makeSource, messageFor, sourcePlaceAt, type Source } from './yaml/source.ts';
import { syntaxMessage } from './yaml/syntax.ts';

export interface ReadTree {
  /** Absent where the file's structure is broken. Faulty values in it are holes. */
  readonly tree?: Tree;
  /** In order of place. */
  readonly messages: readonly Message[];
}

const forbiddenWords: Readonly<Record<Forbidden['code'], readonly [string, string]>> = {
  directive: ['a YAML directive stands here', 'take it out'],
  tag: ['a YAML tag stands here', 'take it out; text that begins with ! goes in quotes'],
  anchor: ['a YAML anchor stands here', 'take it out; text that begins with & goes in quotes'],
  alias: ['a YAML alias stands here', 'write the value out; text that begins with * goes in quotes'],
  'several-documents': ['a second document begins here', 'keep one document a file'],
};

const forbiddenMessage = (source: Source, { code, offset, text }: Forbidden): Message => {
  const [what, todo] = forbiddenWords[code];
  return messageFor(source, offset, code, text === '' ? what : `${what}: ${shown(text)}`, todo);
};

/** Errors of YAML that leave the structure whole: each follows from something forbidden, which has its own message. */
const harmless: ReadonlySet<YAMLError['code']> = new Set([
  'ALIAS_PROPS',
  'BAD_ALIAS',
  'BAD_COLLECTION_TYPE',
  'BAD_DIRECTIVE',
  'MULTIPLE_ANCHORS',
  'MULTIPLE_TAGS',
  'TAG_RESOLVE_FAILED',
]);

/** Whether `cause` may be why YAML fails at `message`: it is on the same line, or is a kind of fault that reaches further down. */
const explains = (cause: Message, message: Message): boolean =>
  cause.line === message.line ||
  (cause.line < message.line && (cause.code === 'text-cut' || cause.code === 'tab' || cause.code === 'directive'));

/** The first error of the YAML itself; later ones may follow from it. */
const firstSyntax = (source: Source, { errors, lastQuote }: Composed): Message | undefined => {
  const [first] = errors.filter(({ code }) => !harmless.has(code)).toSorted((a, b) => a.pos[0] - b.pos[0]);
  return first === undefined ? undefined : syntaxMessage(source, first, lastQuote);
};

const broken = (syntax: Message, told: readonly Message[]): ReadTree => {
  const explained = told.some((cause) => explains(cause, syntax));
  return { messages: sortMessages(explained ? told : [...told, syntax]) };
};

const tooDeepMessage = (source: Source, offset: number): Message =>
  messageFor(source, offset, 'too-deep', `more than ${deepest} levels lie inside each other`, 'flatten the file');

const readSource = (source: Source): ReadTree => {
  const composed = compose(source.text);
  const told = [
    ...characterMessages(source),
    ...composed.forbidden.map((forbidden) => forbiddenMessage(source, forbidden)),
  ];
  if (!isWhole(composed)) {
    const deep = composed.tooDeep === undefined ? [] : [tooDeepMessage(source, composed.tooDeep)];
    return { messages: sortMessages([...told, ...deep]) };
  }
  const { document } = composed;
  if (document === undefined || document.contents === null || isBlank(document.contents)) {
    const empty = messageAt(
      source.file,
      sourcePlaceAt(source, 0),
      'empty-file',
      'the file holds nothing',
      'write it first',
    );
    return { messages: sortMessages(hasErrors(told) ? told : [empty]) };
  }
  const made = toTree(source, document);
  const syntax = firstSyntax(source, composed);
  if (syntax !== undefined)
    return broken(
      syntax,
      [...told, ...made.messages.filter(({ code }) => code === 'text-cut')].filter(isBefore(syntax)),
    );
  const marked = new Set(composed.forbidden.map(({ offset }) => sourcePlaceAt(source, offset).line));
  const own = made.messages.filter(({ code, line }) => code !== 'empty-value' || !marked.has(line));
  return { tree: made.tree, messages: sortMessages([...told, ...own]) };
};

/** Comments alone, or a bare `---`. */
const isBlank = (contents: unknown): boolean =>
  isScalar(contents) && contents.type === 'PLAIN' && contents.value === '';

const isBefore =
  (syntax: Message) =>
  ({ code, line }: Message): boolean =>
    code !== 'text-cut' || line <= syntax.line;

/**
 * A YAML file as a tree, each node with its place: one document, every scalar its source text, nothing that the format forbids. Never throws;
 * all messages come in one pass.
 */
export const readYaml = (text: string, file: string): ReadTree => {
  if (text.length > largestFile) return { messages: [tooLarge(file, text.length)] };
  const read = readSource(makeSource(file, text));
  return { ...read, messages: bounded(read.messages) };
};

/** The same from bytes: strict UTF-8, bounded size. */
export const readYamlBytes = (bytes: Uint8Array, file: string): ReadTree => {
  const decoded = decodeBytes(bytes, file);
  return 'message' in decoded ? { messages: [decoded.message] } : readYaml(decoded.text, file);
};
