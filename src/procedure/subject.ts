import type { MessageCode } from './codes.ts';
import { type Level, type Message, messageAt } from './message.ts';
import type { Procedure } from './model.ts';
import type { StepDraft } from './step-draft.ts';
import { type Path, placeAt, type Tree } from './tree.ts';

/** A procedure file while it is checked: what could be read of it, and the messages so far. */
export interface Subject {
  readonly file: string;
  readonly tree: Tree;
  readonly head: Omit<Procedure, 'steps'>;
  /** One for every step of the file, in its order; where a step has faults, what is left without them. */
  readonly steps: readonly StepDraft[];
  readonly messages: Message[];
}

export const report = (
  { file, tree, messages }: Pick<Subject, 'file' | 'tree' | 'messages'>,
  path: Path,
  code: MessageCode,
  what: string,
  todo: string,
  level: Level = 'error',
): void => {
  messages.push(messageAt(file, placeAt(tree, path), code, what, todo, level));
};
