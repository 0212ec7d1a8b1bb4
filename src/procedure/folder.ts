import { suggest } from '../fault/nearest.ts';
import type { MessageCode } from './codes.ts';
import { listed, type Message, messageAt, shown, sortMessages } from './message.ts';
import type { Procedure, Step } from './model.ts';
import { type Path, placeAt, type Tree } from './tree.ts';

/** A procedure of a folder with the tree it was read from, so that what is told of it has a place. */
export interface Member {
  readonly file: string;
  readonly procedure: Procedure;
  readonly tree: Tree;
}

export interface FolderOptions {
  /** The build's gates in order, where they are known. */
  readonly gates?: readonly string[];
  /** Ids of procedures in the folder that cannot be read: nothing that may lie in them is missed. */
  readonly unreadable?: readonly string[];
}

interface Folder {
  readonly members: readonly Member[];
  readonly byId: ReadonlyMap<string, Member>;
  readonly unreadable: ReadonlySet<string>;
  readonly gates?: readonly string[];
  /** What each comes after, directly or by way of others. */
  readonly before: ReadonlyMap<string, ReadonlySet<string>>;
  readonly set: ReadonlySet<string>;
  readonly closed: ReadonlySet<string>;
  /** Areas that a procedure must reach while they are as the one before it left them. */
  readonly reached: ReadonlyMap<Member, ReadonlySet<string>>;
  readonly messages: Message[];
}

const tell = (
  folder: Folder,
  { file, tree }: Member,
  path: Path,
  code: MessageCode,
  what: string,
  todo: string,
): void => {
  folder.messages.push(messageAt(file, placeAt(tree, path), code, what, todo));
};

const allBefore = (members: ReadonlyMap<string, Member>, id: string): ReadonlySet<string> => {
  const found = new Set<string>();
  const open = [id];
  for (let next = open.pop(); next !== undefined; next = open.pop())
    for (const { procedure } of members.get(next)?.procedure.after ?? [])
      if (!found.has(procedure)) {
        found.add(procedure);
        open.push(procedure);
      }
  return found;
};

const checkAfter = (folder: Folder, member: Member): void => {
  const { procedure } = member.procedure;
  for (const [index, after] of member.procedure.after.entries()) {
    const id = after.procedure;
    if (!folder.byId.has(id) && !folder.unreadable.has(id)) {
      const near = suggest(id, folder.byId.keys());
      const todo = near === undefined ? 'add it to the folder, or take it out' : `write ${near}`;
      tell(folder, member, ['after', index], 'unknown-procedure', `the folder has no procedure ${shown(id)}`, todo);
    } else if (id !== procedure && folder.before.get(id)?.has(procedure) === true) {
      const what = `${shown(id)} comes after ${procedure} itself`;
      tell(folder, member, ['after', index], 'after-loop', what, 'take one of them out');
    }
  }
};

const isAfter = (folder: Folder, later: Member, earlier: Member): boolean =>
  folder.before.get(later.procedure.procedure)?.has(earlier.procedure.procedure) === true;

const checkReliances = (folder: Folder, member: Member): void => {
  if (member.procedure.after.length === 0 || folder.unreadable.size > 0) return;
  for (const [index, step] of member.procedure.steps.entries())
    for (const [item, feature] of step.reliesOn.entries())
      if (!folder.set.has(feature))
        tell(
          folder,
          member,
          ['steps', index, 'relies-on', item],
          'feature-unset',
          `nothing in the folder sets ${shown(feature)}`,
          `add sets: [${feature}] to the step that fixes it`,
        );
};

const reachedFirst = ({ procedure }: Member): ReadonlySet<string> => {
  const opened = new Set<string>();
  const reached = new Set<string>();
  for (const step of procedure.steps) {
    for (const area of step.uncovers) opened.add(area);
    for (const area of step.reaches) if (!opened.has(area)) reached.add(area);
  }
  return reached;
};

/** An area covered to the end of a procedure, with another that comes after it and must reach it before it uncovers it. */
const checkCovers = (folder: Folder, member: Member): void => {
  const { steps, procedure } = member.procedure;
  const lastOpened = new Map(steps.flatMap(({ uncovers }, index) => uncovers.map((area) => [area, index] as const)));
  const later = folder.members.filter((other) => isAfter(folder, other, member));
  for (const [index, step] of steps.entries())
    for (const [item, area] of step.covers.entries()) {
      if ((lastOpened.get(area) ?? -1) > index) continue;
      const buried = later.find((other) => folder.reached.get(other)?.has(area));
      if (buried === undefined) continue;
      const other = buried.procedure.procedure;
      const what = `${area} is covered here, and ${other}, which comes after, must still reach it`;
      const todo = `let ${procedure} come after ${other}, or uncovers: it there before`;
      tell(folder, member, ['steps', index, 'covers', item], 'covered-early', what, todo);
    }
};

const checkLoose = (folder: Folder, member: Member): void => {
  if (folder.unreadable.size > 0) return;
  for (const [index, step] of member.procedure.steps.entries())
    for (const [number, { item, before }] of step.loose.entries()) {
      if (folder.closed.has(item)) continue;
      const what = `${shown(item)} is left open before ${before}, and nothing in the folder closes it`;
      tell(
        folder,
        member,
        ['steps', index, 'loose', number],
        'loose-open',
        what,
        `add closes: [${item}] where it is closed`,
      );
    }
};

const checkGateNames = (folder: Folder, member: Member): void => {
  const { gates } = folder;
  if (gates === undefined) return;
  const check = (gate: string | undefined, path: Path): void => {
    if (gate === undefined || gates.includes(gate)) return;
    const todo = `write ${suggest(gate, gates) ?? listed(gates)}`;
    tell(folder, member, path, 'unknown-gate', `the build has no gate ${shown(gate)}`, todo);
  };
  for (const [index, step] of member.procedure.steps.entries()) {
    check(step.gate, ['steps', index, 'gate']);
    for (const [number, { before }] of step.loose.entries()) check(before, ['steps', index, 'loose', number, 'before']);
  }
};

/** A gate is passed here although one that the build has before it is passed in a procedure that comes after. */
const checkGateOrder = (folder: Folder, member: Member): void => {
  const { gates } = folder;
  if (gates === undefined) return;
  const passes = (steps: readonly Step[]) =>
    steps.flatMap(({ gate }, index) => (gate !== undefined && gates.includes(gate) ? [{ gate, index }] : []));
  const own = passes(member.procedure.steps);
  const later = folder.members
    .filter((other) => own.length > 0 && isAfter(folder, other, member))
    .flatMap(({ procedure }) => passes(procedure.steps));
  for (const [number, { gate, index }] of own.entries()) {
    const late = [...own.slice(number + 1), ...later].find((one) => gates.indexOf(one.gate) < gates.indexOf(gate));
    if (late === undefined) continue;
    const what = `${gate} is passed here, before ${late.gate}, which the build has first`;
    const todo = `pass ${late.gate} first, or mend the order of the gates`;
    tell(folder, member, ['steps', index, 'gate'], 'gate-order', what, todo);
  }
};

/**
 * What can only be told from all procedures of a folder together: what comes after what, who covers what another must reach,
 * what is left loose and never closed, gates. Each procedure has been checked for itself before.
 */
export const checkFolder = (given: readonly Member[], options: FolderOptions = {}): Message[] => {
  // In one order, so that of several that fit the same one is named whatever order the disk gave.
  const members = given.toSorted((a, b) => Number(a.file > b.file) - Number(a.file < b.file));
  const byId = new Map(members.map((member) => [member.procedure.procedure, member]));
  const folder: Folder = {
    members,
    byId,
    unreadable: new Set(options.unreadable),
    before: new Map([...byId.keys()].map((id) => [id, allBefore(byId, id)])),
    set: new Set(members.flatMap(({ procedure }) => procedure.steps.flatMap(({ sets }) => sets))),
    closed: new Set(members.flatMap(({ procedure }) => procedure.steps.flatMap(({ closes }) => closes))),
    reached: new Map(members.map((member) => [member, reachedFirst(member)])),
    messages: [],
    ...(options.gates === undefined ? {} : { gates: options.gates }),
  };
  for (const member of members)
    for (const check of [checkAfter, checkReliances, checkCovers, checkLoose, checkGateNames, checkGateOrder])
      check(folder, member);
  return sortMessages(folder.messages);
};
