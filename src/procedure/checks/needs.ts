import { suggest } from '../../fault/nearest.ts';
import { shown } from '../message.ts';
import { report } from '../subject.ts';
import { itemsOf, type Path, textAt, valueOf } from '../tree.ts';
import { type Check, type Checking, stepPath } from './checking.ts';

type Kind = 'tool' | 'material';

/** What `needs` names, as it stands in the file; undefined where that cannot be told. */
const named = ({ subject }: Checking, kind: Kind): ReadonlySet<string> | undefined => {
  const needs = valueOf(subject.tree, 'needs');
  const list = valueOf(needs, `${kind}s`);
  if (needs !== undefined && needs.kind !== 'map') return undefined;
  if (list !== undefined && list.kind !== 'list') return undefined;
  return new Set(itemsOf(needs, `${kind}s`).flatMap((item) => textAt(item, kind) ?? []));
};

/**
 * A tool or material is used that `needs` does not name, so nobody fetches it. A procedure without any `needs` is only
 * warned: it lists nothing, so it lists nothing wrongly.
 */
export const checkNeeds: Check = (checking) => {
  const known = { tool: named(checking, 'tool'), material: named(checking, 'material') };
  const level = valueOf(checking.subject.tree, 'needs') === undefined ? 'warning' : 'error';
  const check = (kind: Kind, used: string | undefined, path: Path): void => {
    const names = known[kind];
    if (used === undefined || names === undefined || names.has(used)) return;
    const near = used.length > 64 ? undefined : suggest(used, names);
    const todo = near === undefined ? `add { ${kind}: ${used} } to needs: ${kind}s:` : `write ${near}`;
    report(checking.subject, path, 'not-in-needs', `needs names no ${kind} ${shown(used)}`, todo, level);
  };
  for (const [index, step] of checking.steps.entries()) {
    for (const [number, reading] of step.readings.entries())
      check('tool', reading.tool, stepPath(index, 'readings', number, 'tool'));
    check('tool', step.tighten?.tool, stepPath(index, 'tighten', 'tool'));
    check('material', step.mix?.material, stepPath(index, 'mix', 'material'));
  }
};
