import type { Step } from '../model.ts';
import { brief } from './brief.ts';
import type { CarriedValue } from './carry.ts';
import type { Change } from './change.ts';
import { diffValues, listKeys, withoutValues } from './diff-values.ts';
import { diffGroups, type Spot } from './differ.ts';
import type { Renames } from './renames.ts';
import { movedBetween, movedPlaces } from './sequence.ts';
import { stepSheet } from './step-sheet.ts';

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

/** The changes of all steps, under the new ids. `from` are the old steps with their ids changed to the new ones. */
export const diffAllSteps = (
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
                ...movedPlaces(place(oldIds, old.index), place(newIds, index)),
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

/** Steps that are gone, by the step before them that is still there (undefined: none). */
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
