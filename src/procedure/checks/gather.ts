import { suggest } from '../../fault/nearest.ts';
import { shown } from '../message.ts';
import type { Used } from '../parts/part.ts';
import { usesOf } from '../parts/parts.ts';
import { report } from '../subject.ts';
import { type Path, textAt, type Tree, valueOf } from '../tree.ts';
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
 * Reports a tool or material that is used and that `gather` does not name, so that nobody fetches it. Without any `gather` it is a warning: no
 * list is better than a wrong one.
 */
export const checkGather: Check = ({ subject, steps }) => {
  const gather = valueOf(subject.tree, 'gather');
  const known = { tool: named(gather, 'tool'), material: named(gather, 'material') };
  const level = gather === undefined ? 'warning' : 'error';
  const check = (kind: Kind, used: string | undefined, path: Path): void => {
    const names = known[kind];
    if (used === undefined || names === undefined || names.has(used)) return;
    const near = used.length > 64 ? undefined : suggest(used, names);
    const todo = near === undefined ? `add { ${kind}: ${used} } to gather: ${kind}s:` : `write ${near}`;
    report(subject, path, 'not-in-gather', `gather names no ${kind} ${shown(used)}`, todo, level);
  };
  for (const [index, step] of steps.entries())
    for (const { kind, name, path } of usesOf(step)) check(kind, name, stepPath(index, ...path));
};
