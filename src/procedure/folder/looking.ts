import type { MessageCode } from '../codes.ts';
import type { Level, Message } from '../message.ts';
import type { Procedure, Step } from '../model.ts';
import { comesAfter, forEach, type Order } from '../order.ts';
import { report } from '../subject.ts';
import type { Path, Tree } from '../tree.ts';

/** A procedure of a folder with the tree that it was read from, which gives messages their place. */
export interface Member {
  readonly file: string;
  readonly procedure: Procedure;
  readonly tree: Tree;
}

/** A step of a folder in which something was found. */
export interface Found {
  readonly member: Member;
  /** Index of the step, from 0. */
  readonly index: number;
}

/** For each word in a list of the steps, with `<each>` written out, the steps whose list has it; in the order of the files and steps. */
export type Index = ReadonlyMap<string, readonly Found[]>;

export interface Folder {
  readonly members: readonly Member[];
  readonly byId: ReadonlyMap<string, Member>;
  /** Ids of procedures that cannot be read. What another procedure lacks may be in one of them. */
  readonly unreadable: ReadonlySet<string>;
  /** The build's gates in order, where they are known. */
  readonly gates?: readonly string[];
  readonly order: Order;
  readonly sets: Index;
  readonly proves: Index;
  readonly relies: Index;
  readonly leaves: Index;
  readonly closes: Index;
  readonly passes: Index;
  readonly messages: Message[];
}

export type FolderCheck = (folder: Folder, member: Member) => void;

export const reportIn = (
  folder: Folder,
  { file, tree }: Member,
  path: Path,
  code: MessageCode,
  what: string,
  todo: string,
  level: Level = 'error',
): void => {
  report({ file, tree, messages: folder.messages }, path, code, what, todo, level);
};

export const isAfter = ({ order }: Folder, later: Member, earlier: Member): boolean =>
  comesAfter(order, later.procedure.procedure, earlier.procedure.procedure);

export const indexOf = (members: readonly Member[], words: (step: Step) => readonly string[]): Index => {
  const index = new Map<string, Found[]>();
  for (const member of members)
    for (const [number, step] of member.procedure.steps.entries())
      for (const word of words(step))
        for (const name of forEach(member.procedure, word)) {
          const list = index.get(name);
          if (list === undefined) index.set(name, [{ member, index: number }]);
          else list.push({ member, index: number });
        }
  return index;
};

/** All that is found under a name, for whichever side. */
export const foundFor = (index: Index, { procedure }: Member, name: string): readonly Found[] =>
  forEach(procedure, name).flatMap((one) => index.get(one) ?? []);
