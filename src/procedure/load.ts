import { checks } from './check.ts';
import { readProcedureDraft } from './draft.ts';
import { bounded, hasErrors, type Message, messageAt, shown, sortMessages } from './message.ts';
import type { Procedure } from './model.ts';
import { gatherNames } from './names.ts';
import { resolveSteps } from './resolve.ts';
import { given } from './schema/leaves.ts';
import { placeAt, textAt, type Tree } from './tree.ts';
import { decodeBytes } from './yaml/bytes.ts';
import { readYaml } from './yaml.ts';

export interface LoadOptions {
  /** The id that the file's name asks for, where the file is in a folder of procedures. */
  readonly name?: string;
  /**
   * Whether the checks of the trade (`check.ts`) are made; true where nothing is said. A job under way is opened without them, so that a check
   * which a later dryfit adds never keeps its procedure from being read.
   */
  readonly checks?: boolean;
}

export interface LoadedProcedure {
  /** Absent where a message is an error. */
  readonly procedure?: Procedure;
  /** What it was read from, for checks across a folder. */
  readonly tree?: Tree;
  /** In order of place. */
  readonly messages: readonly Message[];
}

const nameMessages = (tree: Tree, file: string, name: string | undefined): readonly Message[] => {
  const id = textAt(tree, 'procedure');
  if (name === undefined || id === undefined || id === name) return [];
  const what = `the procedure ${shown(id)} lies in a file named ${shown(name)}`;
  return [messageAt(file, placeAt(tree, ['procedure']), 'name-differs', what, 'give both the same name')];
};

const fromTree = (tree: Tree, file: string, before: readonly Message[], options: LoadOptions): LoadedProcedure => {
  const subject = readProcedureDraft(tree, file);
  const names = gatherNames(subject);
  const steps = resolveSteps(subject, names);
  if (options.checks !== false) for (const check of checks) check({ subject, names, steps });
  const own = [...nameMessages(tree, file, options.name), ...subject.messages];
  const messages = bounded(sortMessages([...before, ...own]));
  return hasErrors(messages) ? { messages } : { procedure: given({ ...subject.head, steps }), tree, messages };
};

/** A procedure from its text, or a message for everything that is wrong with it, each at its place. Never throws. */
export const readProcedure = (text: string, file: string, options: LoadOptions = {}): LoadedProcedure => {
  const { tree, messages } = readYaml(text, file);
  if (tree === undefined) return { messages };
  return fromTree(tree, file, messages, options);
};

/** The same from the bytes of a file: strict UTF-8, bounded size. */
export const readBytes = (bytes: Uint8Array, file: string, options: LoadOptions = {}): LoadedProcedure => {
  const decoded = decodeBytes(bytes, file);
  return 'message' in decoded ? { messages: [decoded.message] } : readProcedure(decoded.text, file, options);
};
