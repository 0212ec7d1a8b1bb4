import type { Change, Edit } from '../../../src/procedure/compare/change.ts';
import { headSheet } from '../../../src/procedure/compare/head-sheet.ts';
import type { Fields, Group, SheetItem, List, Node } from '../../../src/procedure/compare/sheet.ts';
import { stepSheet } from '../../../src/procedure/compare/step-sheet.ts';
import { renameSteps } from '../../../src/procedure/compare/rename-steps.ts';
import type { Procedure } from '../../../src/procedure/model.ts';

/** A procedure as one sheet: the head, and the steps as a list. */
export const sheetOf = (procedure: Procedure): Group => ({
  is: 'group',
  fields: {
    head: headSheet(procedure),
    steps: {
      is: 'list',
      of: 'ids',
      items: procedure.steps.map((step) => ({ id: step.step, node: stepSheet(step) })),
    },
  },
});

const emptyList: List = { is: 'list', of: 'ids', items: [] };

/** Whether a node says nothing: absent, or an empty list. */
const isNothing = (node: Node | undefined): boolean =>
  node === undefined || (node.is === 'list' && node.items.length === 0);

/** Only what is compared: texts and their order. */
export const plainSheet = (node: Node): unknown => {
  if (node.is === 'leaf') return `${node.value.as}: ${node.text}`;
  if (node.is === 'list') return node.items.map(({ id, node: item }) => [id, plainSheet(item)]);
  return Object.fromEntries(
    Object.entries(node.fields)
      .filter(([, field]) => !isNothing(field))
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, field]) => [key, plainSheet(field!)]),
  );
};

const at = (node: Node | undefined, path: readonly string[], edit: (node: Node | undefined) => Node): Node => {
  const [key, ...rest] = path;
  if (key === undefined) return edit(node);
  if (node?.is === 'list') {
    const items = node.items.map((item) => (item.id === key ? { id: key, node: at(item.node, rest, edit) } : item));
    if (!node.items.some(({ id }) => id === key)) throw new Error(`no item ${key}`);
    return { ...node, items };
  }
  const fields: Fields = node?.is === 'group' ? node.fields : {};
  return { is: 'group', fields: { ...fields, [key]: at(fields[key], rest, edit) } };
};

const insert = (items: readonly SheetItem[], item: SheetItem, after: string | undefined): readonly SheetItem[] => {
  const index = after === undefined ? 0 : items.findIndex(({ id }) => id === after) + 1;
  if (after !== undefined && index === 0) throw new Error(`nothing to stand behind: ${after}`);
  return items.toSpliced(index, 0, item);
};

const carryOut =
  (edit: Edit) =>
  (node: Node | undefined): Node => {
    if (edit.do === 'set') {
      const fields = node?.is === 'group' ? node.fields : {};
      return { is: 'group', fields: { ...fields, ...edit.fields } };
    }
    const list = node?.is === 'list' ? node : emptyList;
    const found = 'id' in edit ? list.items.find(({ id }) => id === edit.id) : undefined;
    const others = list.items.filter((item) => item !== found);
    switch (edit.do) {
      case 'insert':
        return { ...list, items: insert(list.items, { id: edit.id, node: edit.node }, edit.after) };
      case 'remove':
        if (!found) throw new Error(`nothing to remove: ${edit.id}`);
        return { ...list, items: others };
      case 'move':
        if (!found) throw new Error(`nothing to move: ${edit.id}`);
        return { ...list, items: insert(others, found, edit.after) };
      case 'replace':
        if (!found) throw new Error(`nothing to replace: ${edit.id}`);
        return { ...list, items: list.items.map((one) => (one === found ? { id: edit.by, node: edit.node } : one)) };
      case 'rename':
      case 'carry':
        throw new Error('not an edit of a sheet');
    }
  };

const renamesOf = (changes: readonly Change[]) => {
  const of = (space: 'steps' | 'values') =>
    new Map(
      changes.flatMap(({ edit }) => (edit.do === 'rename' && edit.space === space ? [[edit.from, edit.to]] : [])),
    );
  return { steps: of('steps'), values: of('values') };
};

const carry = (sheet: Node, { path, edit }: Change): Node => {
  if (edit.do !== 'carry') return sheet;
  const list = path[0] ?? '';
  let item: SheetItem | undefined;
  const without = at(sheet, ['steps', edit.from, list], (node) => {
    const items = node?.is === 'list' ? node.items : [];
    item = items.find(({ id }) => id === edit.id);
    return { ...emptyList, items: items.filter(({ id }) => id !== edit.id) };
  });
  return at(without, ['steps', edit.to, list], (node) => {
    if (!item) throw new Error(`nothing to carry: ${edit.id}`);
    return { ...emptyList, items: insert(node?.is === 'list' ? node.items : [], item, edit.after) };
  });
};

/** The order of carrying out: values carried to other steps, changes within, removals, and last what comes or moves. */
const rank = ({ edit }: Change): number =>
  edit.do === 'carry' ? 0 : edit.do === 'remove' ? 2 : edit.do === 'insert' || edit.do === 'move' ? 3 : 1;

/** The sheet of a procedure after the changes. */
export const applyChanges = (procedure: Procedure, changes: readonly Change[]): Node => {
  const from = sheetOf({ ...procedure, steps: renameSteps(procedure.steps, renamesOf(changes)) });
  return changes
    .filter(({ edit }) => edit.do !== 'rename')
    .toSorted((a, b) => rank(a) - rank(b))
    .reduce<Node>(
      (sheet, change) =>
        change.edit.do === 'carry' ? carry(sheet, change) : at(sheet, change.path, carryOut(change.edit)),
      from,
    );
};
