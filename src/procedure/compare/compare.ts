import type { Procedure, Step } from '../model.ts';
import type { Plan } from '../plan.ts';
import { carriedBetween, type CarriedValue, carrySteps } from './carry.ts';
import { brief } from './brief.ts';
import type { Change } from './change.ts';
import { diffGroups, diffLists, type Spot } from './differ.ts';
import { headSheet } from './head-sheet.ts';
import { proposeRenames, renameSteps, type Confirmed, type Renames } from './renames.ts';
import { movedBetween } from './sequence.ts';
import { type Group, type List, type Node } from './sheet.ts';
import { stepSheet } from './step-sheet.ts';

export interface Comparison {
  /** Of the head, then step by step in the order of the new one; a step that is gone stands where it stood. */
  readonly changes: readonly Change[];
  /** Likely or confirmed; the changes are told under the new ids. */
  readonly renames: Renames;
  /** Both are revisions of one procedure. */
  readonly sameProcedure: boolean;
}

export interface CompareOptions {
  /** Old id → new id of steps, readings and results, where somebody knows; else likeness proposes. */
  readonly renamed?: Confirmed;
  /** False: only what is confirmed has another name; nothing is proposed. */
  readonly likeness?: boolean;
}

const listKeys = { readings: 'reading', results: 'result' } as const;

type ValueList = keyof typeof listKeys;

/** A reading or result is told by its own id, beside its step's. */
const valueSpot = (spot: Spot, id: string): Spot => ({
  step: spot.step,
  reading: id,
  path: [...spot.path, id],
  named: [],
});

/** What came, went or moved as a whole is told as `reading` or `result`. */
const asValue =
  (list: ValueList) =>
  (change: Change): Change =>
    change.what === '' ? { ...change, what: listKeys[list] } : change;

const inUnits = (change: Change): boolean =>
  change.kind === 'same-in-other-unit' && ['unit', 'limits', 'twin'].includes(change.what);

/** A reading in another unit, with limits that are equal, has changed in one thing, not in three. */
const withOneUnit = (changes: readonly Change[]): readonly Change[] => {
  const unit = changes.find((change) => change.what === 'unit' && inUnits(change));
  if (unit === undefined) return changes;
  const together = changes.filter((change) => inUnits(change) && change.reading === unit.reading);
  const shown = together.find(({ what }) => what === 'limits') ?? unit;
  const fields = Object.assign({}, ...together.map(({ edit }) => (edit.do === 'set' ? edit.fields : {}))) as Record<
    string,
    Node | undefined
  >;
  const one: Change = { ...shown, edit: { do: 'set', fields } };
  return changes.flatMap((change) => (change === together[0] ? [one] : together.includes(change) ? [] : [change]));
};

const byReading = (changes: readonly Change[]): readonly Change[] => {
  if (!changes.some(({ what }) => what === 'unit')) return changes;
  const readings = [...new Set(changes.map(({ reading }) => reading))];
  return readings.flatMap((reading) => withOneUnit(changes.filter((change) => change.reading === reading)));
};

const asList = (node: Node | undefined): List => (node?.is === 'list' ? node : { is: 'list', of: 'ids', items: [] });

const diffValues = (spot: Spot, list: ValueList, before: Group, after: Group): readonly Change[] => {
  const found = diffLists(
    { ...spot, path: [...spot.path, list] },
    asList(before.fields[list]),
    asList(after.fields[list]),
    valueSpot,
  ).map(asValue(list));
  return byReading(found);
};

const withoutValues = (sheet: Group): Group => ({
  is: 'group',
  fields: { ...sheet.fields, readings: undefined, results: undefined },
});

const diffSteps = (before: Step, after: Step): readonly Change[] => {
  if (before === after) return [];
  const spot: Spot = { step: after.step, path: ['steps', after.step], named: [] };
  const [old, now] = [stepSheet(before), stepSheet(after)];
  return [
    ...diffGroups(spot, withoutValues(old), withoutValues(now)),
    ...diffValues(spot, 'readings', old, now),
    ...diffValues(spot, 'results', old, now),
  ];
};

const carriedChange = ({ list, id, from, to, after }: CarriedValue): Change => ({
  step: to,
  reading: id,
  kind: 'moved',
  what: listKeys[list],
  old: `in ${from}`,
  new: `in ${to}`,
  path: [list],
  edit: { do: 'carry', id, from, to, ...(after === undefined ? {} : { after }) },
});

const grouped = <T>(items: readonly T[], keyOf: (item: T) => string): ReadonlyMap<string, readonly T[]> => {
  const found = new Map<string, T[]>();
  for (const item of items) {
    const before = found.get(keyOf(item));
    if (before === undefined) found.set(keyOf(item), [item]);
    else before.push(item);
  }
  return found;
};

const renamedStep = (from: string, to: string): Change => ({
  step: to,
  kind: 'renamed',
  what: 'step',
  old: from,
  new: to,
  path: ['steps'],
  edit: { do: 'rename', space: 'steps', from, to },
});

const renamedValues = (steps: readonly Step[], values: Renames['values']): ReadonlyMap<string, readonly Change[]> => {
  const oldOf = new Map([...values].map(([from, to]) => [to, from]));
  const inStep = ({ step, readings, results }: Step): readonly Change[] =>
    [
      ...readings.map(({ reading }) => ['reading', reading] as const),
      ...results.map(({ result }) => ['result', result] as const),
    ].flatMap(([what, to]) => {
      const from = oldOf.get(to);
      if (from === undefined) return [];
      const edit = { do: 'rename', space: 'values', from, to } as const;
      return [{ step, reading: to, kind: 'renamed' as const, what, old: from, new: to, path: [], edit }];
    });
  return values.size === 0 ? new Map() : grouped(steps.flatMap(inStep), ({ step }) => step);
};

const place = (ids: readonly string[], index: number): string => (index === 0 ? 'first' : `after ${ids[index - 1]!}`);

const after = (ids: readonly string[], index: number): { readonly after?: string } =>
  index === 0 ? {} : { after: ids[index - 1]! };

/** Everything that is told of the steps, under the new ids; `from` are the old steps under them. */
const diffAllSteps = (
  from: readonly Step[],
  to: readonly Step[],
  renames: Renames,
  carried: readonly CarriedValue[],
): readonly Change[] => {
  const [oldIds, newIds] = [from.map(({ step }) => step), to.map(({ step }) => step)];
  const [oldById, isNew] = [new Map(from.map((step, index) => [step.step, { step, index }])), new Set(newIds)];
  const moved = movedBetween(oldIds, newIds);
  const oldNames = new Map([...renames.steps].map(([old, now]) => [now, old]));
  const values = renamedValues(to, renames.values);
  const gone = removedAfter(from, isNew);
  const came = grouped(carried, (one) => one.to);
  return [
    ...(gone.get(undefined) ?? []),
    ...to.flatMap((step, index): readonly Change[] => {
      const id = step.step;
      const old = oldById.get(id);
      const spot = { step: id, path: ['steps'] };
      if (old === undefined) {
        const node = stepSheet(step);
        return [
          {
            ...spot,
            kind: 'added',
            what: 'step',
            new: brief(node),
            edit: { do: 'insert', id, node, ...after(newIds, index) },
          },
        ];
      }
      const name = oldNames.get(id);
      return [
        ...(name === undefined ? [] : [renamedStep(name, id)]),
        ...(moved.has(id)
          ? [
              {
                ...spot,
                kind: 'moved' as const,
                what: 'step',
                old: place(oldIds, old.index),
                new: place(newIds, index),
                edit: { do: 'move' as const, id, ...after(newIds, index) },
              },
            ]
          : []),
        ...(values.get(id) ?? []),
        ...(came.get(id) ?? []).map(carriedChange),
        ...diffSteps(old.step, step),
        ...(gone.get(id) ?? []),
      ];
    }),
  ];
};

/** Steps that are gone, by the last step before them that is still there. */
const removedAfter = (
  from: readonly Step[],
  isNew: ReadonlySet<string>,
): ReadonlyMap<string | undefined, readonly Change[]> => {
  const found = new Map<string | undefined, Change[]>();
  let last: string | undefined;
  for (const { step, title } of from) {
    if (isNew.has(step)) {
      last = step;
      continue;
    }
    const change: Change = {
      step,
      kind: 'removed',
      what: 'step',
      old: title,
      path: ['steps'],
      edit: { do: 'remove', id: step },
    };
    const before = found.get(last);
    if (before === undefined) found.set(last, [change]);
    else before.push(change);
  }
  return found;
};

/**
 * What the new one changes, place by place: two procedures, or two plans of one side. The same twice gives no change; the
 * changes, carried out on the old one, give the new one. Work grows about as the number of steps does.
 */
export const compareProcedures = (
  before: Procedure | Plan,
  now: Procedure | Plan,
  options: CompareOptions = {},
): Comparison => {
  const renames = proposeRenames(before.steps, now.steps, options.renamed ?? {}, options.likeness !== false);
  const renamed = renameSteps(before.steps, renames);
  const carried = carriedBetween(renamed, now.steps);
  const from = carrySteps(renamed, carried);
  const head: Spot = { step: '', path: ['head'], named: [] };
  return {
    changes: [
      ...diffGroups(head, headSheet(before), headSheet(now)),
      ...diffAllSteps(from, now.steps, renames, carried),
    ],
    renames,
    sameProcedure: before.procedure === now.procedure,
  };
};
