import { suggest } from '../../fault/nearest.ts';
import { shown } from '../message.ts';
import type { Used } from '../parts/part.ts';
import { usesOf } from '../parts/parts.ts';
import { report } from '../subject.ts';
import { itemsOf, type Path, textAt, textsOf, type Tree, valueOf } from '../tree.ts';
import { type Check, stepPath } from './checking.ts';

type Kind = Used['kind'];

/** What `gather` names, as the file has it; undefined where it cannot be read. */
const named = (gather: Tree | undefined, kind: Kind): ReadonlySet<string> | undefined => {
  const list = valueOf(gather, `${kind}s`);
  if (gather !== undefined && gather.kind !== 'map') return undefined;
  if (list !== undefined && list.kind !== 'list') return undefined;
  return new Set(list?.items.flatMap((item) => textAt(item, kind) ?? []));
};

/**
 * Reports a tool, material or part that is used and that `gather` does not name, so that nobody fetches it. Without any `gather` it is a
 * warning, because no list is better than a wrong one; but what a step takes in hand or fits is asked for as the list says, and needs it.
 */
export const checkGather: Check = ({ subject, steps }) => {
  const gather = valueOf(subject.tree, 'gather');
  const known = { tool: named(gather, 'tool'), material: named(gather, 'material'), part: named(gather, 'part') };
  const check = (kind: Kind, used: string | undefined, path: Path): void => {
    const names = known[kind];
    if (used === undefined || names === undefined || names.has(used)) return;
    const near = used.length > 64 ? undefined : suggest(used, names);
    const todo = near === undefined ? `add { ${kind}: ${used} } to gather: ${kind}s:` : `write ${near}`;
    const isListed = path.includes('materials') || path.includes('parts');
    const level = gather === undefined && !isListed ? 'warning' : 'error';
    report(subject, path, 'not-in-gather', `gather names no ${kind} ${shown(used)}`, todo, level);
  };
  for (const [index, step] of steps.entries())
    for (const { kind, name, path } of usesOf(step)) check(kind, name, stepPath(index, ...path));
};

const isTrue = (item: Tree, key: string): boolean => textAt(item, key) === 'true';

/** Reports a lot or a serial number that no step asks for. What the steps name is read from the tree, so that a faulty step counts too. */
export const checkTaken: Check = ({ subject }) => {
  const gather = valueOf(subject.tree, 'gather');
  if (gather === undefined) return;
  const steps = itemsOf(subject.tree, 'steps');
  const listed = (key: string): readonly string[] =>
    steps.flatMap((step) => textsOf(step, key).map(({ text }) => text));
  const mixed = steps.flatMap((step) => textAt(valueOf(step, 'mix'), 'material') ?? []);
  const taken = { material: new Set([...mixed, ...listed('materials')]), part: new Set(listed('parts')) };
  const check = (kind: 'material' | 'part', asks: readonly string[]): void => {
    for (const [index, item] of itemsOf(gather, `${kind}s`).entries()) {
      const name = textAt(item, kind);
      if (name === undefined || taken[kind].has(name) || !asks.some((key) => isTrue(item, key))) continue;
      const what = `no step ${kind === 'material' ? 'mixes or takes in hand' : 'fits'} ${shown(name)}`;
      const todo = `add ${kind}s: [${name}] to the step where it ${kind === 'material' ? 'is used' : 'goes in'}`;
      report(subject, ['gather', `${kind}s`, index], 'not-in-steps', what, todo, 'warning');
    }
  };
  check('material', ['lot', 'in-date']);
  check('part', ['serial']);
};
