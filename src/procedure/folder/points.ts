import { suggest } from '../../fault/nearest.ts';
import { listed, shown } from '../message.ts';
import type { Step } from '../model.ts';
import type { Path } from '../tree.ts';
import { type Folder, type FolderCheck, type Found, foundFor, isAfter, type Member, reportIn } from './looking.ts';

/** Whether an item is closed only after the gate is passed: in a procedure that comes after, or further down in the same one. */
const isLate = (folder: Folder, closing: Found, passing: Found): boolean =>
  closing.member === passing.member ? closing.index > passing.index : isAfter(folder, closing.member, passing.member);

/** Reports an item left loose that nothing in the folder closes, or that is closed only after its gate is passed. */
export const checkLooseAcross: FolderCheck = (folder, member) => {
  if (folder.unreadable.size > 0) return;
  for (const [index, step] of member.procedure.steps.entries())
    for (const [number, { item, before }] of step.loose.entries()) {
      const closing = foundFor(folder.closes, member, item);
      const passing = foundFor(folder.passes, member, before).find(
        (pass) => isAfter(folder, pass.member, member) && closing.every((close) => isLate(folder, close, pass)),
      );
      if (closing.length > 0 && passing === undefined) continue;
      const left = `${shown(item)} is left open before ${before}`;
      const what =
        closing.length === 0 || passing === undefined
          ? `${left}, and nothing in the folder closes it`
          : `${left}, and ${passing.member.procedure.procedure} passes ${before} with nothing closing it before`;
      reportIn(
        folder,
        member,
        ['steps', index, 'loose', number],
        'loose-open',
        what,
        `add closes: [${item}] where it is closed`,
      );
    }
};

/** Warns of an item that is closed and that nothing in the folder leaves loose: a misspelling, unless a person leaves it loose at the bench. */
export const checkCloses: FolderCheck = (folder, member) => {
  if (folder.unreadable.size > 0) return;
  for (const [index, step] of member.procedure.steps.entries())
    for (const [number, item] of step.closes.entries()) {
      if (foundFor(folder.leaves, member, item).length > 0) continue;
      const near = suggest(item, folder.leaves.keys());
      const todo = near === undefined ? 'check its name, or take it out' : `write ${near}`;
      const what = `nothing in the folder leaves ${shown(item)} loose`;
      reportIn(folder, member, ['steps', index, 'closes', number], 'unknown-reference', what, todo, 'warning');
    }
};

const checkGateNames: FolderCheck = (folder, member) => {
  const { gates } = folder;
  if (gates === undefined) return;
  const check = (gate: string | undefined, path: Path): void => {
    if (gate === undefined || gates.includes(gate)) return;
    const todo = `write ${suggest(gate, gates) ?? listed(gates)}`;
    reportIn(folder, member, path, 'unknown-gate', `the build has no gate ${shown(gate)}`, todo);
  };
  for (const [index, step] of member.procedure.steps.entries()) {
    check(step.gate, ['steps', index, 'gate']);
    for (const [number, { before }] of step.loose.entries()) check(before, ['steps', index, 'loose', number, 'before']);
  }
};

/** Reports a gate that is passed before one that the build has earlier in its order. */
const checkGateOrder: FolderCheck = (folder, member) => {
  const { gates } = folder;
  if (gates === undefined) return;
  const passes = (steps: readonly Step[]) =>
    steps.flatMap(({ gate }, index) => (gate !== undefined && gates.includes(gate) ? [{ gate, index }] : []));
  const own = passes(member.procedure.steps);
  if (own.length === 0) return;
  const later = folder.members
    .filter((other) => isAfter(folder, other, member))
    .flatMap(({ procedure }) => passes(procedure.steps));
  for (const [number, { gate, index }] of own.entries()) {
    const late = [...own.slice(number + 1), ...later].find((one) => gates.indexOf(one.gate) < gates.indexOf(gate));
    if (late === undefined) continue;
    const what = `${gate} is passed here, before ${late.gate}, which the build has first`;
    const todo = `pass ${late.gate} first, or mend the order of the gates`;
    reportIn(folder, member, ['steps', index, 'gate'], 'gate-order', what, todo);
  }
};

/** Every two passings are compared, so a folder with more is not checked. A build has a dozen gates. */
const mostPassings = 1000;

/** Where the build's order of gates is not known: reports two gates that the procedures pass in both orders. */
export const checkGatePairs = (folder: Folder): void => {
  if (folder.gates !== undefined) return;
  const passings = [...folder.passes].flatMap(([gate, found]) => found.map((at) => ({ gate, ...at })));
  type Passing = (typeof passings)[number];
  if (passings.length > mostPassings) return;
  const isBefore = (one: Passing, other: Passing): boolean =>
    one.member === other.member ? one.index < other.index : isAfter(folder, other.member, one.member);
  const pairs = passings.flatMap((first) =>
    passings.filter((next) => next.gate !== first.gate && isBefore(first, next)).map((next) => ({ first, next })),
  );
  const known = new Set(pairs.map(({ first, next }) => `${first.gate}\n${next.gate}`));
  const told = new Set<string>();
  for (const { first, next } of pairs) {
    const at = `${first.member.file}\n${first.index}`;
    if (told.has(at) || !known.has(`${next.gate}\n${first.gate}`)) continue;
    told.add(at);
    const what = `${first.gate} is passed here before ${next.gate}, and elsewhere after it`;
    const todo = 'pass them in one order, that of the build';
    reportIn(folder, first.member, ['steps', first.index, 'gate'], 'gate-order', what, todo);
  }
};

export const checkGates: FolderCheck = (folder, member: Member) => {
  checkGateNames(folder, member);
  checkGateOrder(folder, member);
};
