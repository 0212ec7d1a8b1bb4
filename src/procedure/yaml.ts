import { isScalar } from 'yaml';
import type { MessageCode } from './codes.ts';
import { bounded, messageAt, type Message, hasErrors, shown, sortMessages } from './message.ts';
import type { Tree } from './tree.ts';
import { decodeBytes, largestFile, tooLarge } from './yaml/bytes.ts';
import { characterMessages } from './yaml/characters.ts';
import { compose, deepest, isWhole, mostEmptyLines, mostPieces, type Forbidden, type Stop } from './yaml/compose.ts';
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

/** Whether `cause` may be why YAML fails at `message`: it is on the same line, or is a kind of fault that reaches further down. */
const explains = (cause: Message, message: Message): boolean =>
  cause.line === message.line ||
  (cause.line < message.line && (cause.code === 'text-cut' || cause.code === 'tab' || cause.code === 'directive'));

const broken = (syntax: Message, told: readonly Message[]): ReadTree => {
  const explained = told.some((cause) => explains(cause, syntax));
  return { messages: sortMessages(explained ? told : [...told, syntax]) };
};

const count = (most: number): string => most.toLocaleString('en-GB');

const stopWords: Readonly<Record<Stop['because'], readonly [MessageCode, string, string]>> = {
  'too-deep': ['too-deep', `more than ${deepest} levels are nested inside each other`, 'flatten the file'],
  'too-many-pieces': [
    'too-large',
    `here the file has ${count(mostPieces)} pieces (keys, values, signs, line ends), and no more is read`,
    'split it into several files, or take out what is no longer needed',
  ],
  'too-many-empty-lines': ['too-large', `${count(mostEmptyLines)} empty lines come before here`, 'take them out'],
};

const stopMessage = (source: Source, { because, offset }: Stop): Message =>
  messageFor(source, offset, ...stopWords[because]);

const readSource = (source: Source): ReadTree => {
  const composed = compose(source.text);
  const told = [
    ...characterMessages(source),
    ...composed.forbidden.map((forbidden) => forbiddenMessage(source, forbidden)),
  ];
  if (!isWhole(composed)) {
    const stop = composed.stopped === undefined ? [] : [stopMessage(source, composed.stopped)];
    return { messages: sortMessages([...told, ...stop]) };
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
  if (composed.error !== undefined) {
    const syntax = syntaxMessage(source, composed.error, composed.lastQuote);
    return broken(
      syntax,
      [...told, ...made.messages.filter(({ code }) => code === 'text-cut')].filter(isBefore(syntax)),
    );
  }
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
