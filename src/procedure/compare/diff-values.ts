import type { Change } from './change.ts';
import { diffLists, type Spot } from './differ.ts';
import type { Group, List, Node } from './sheet.ts';

/** The lists of readings and results of a step, and what one item of each is called. */
export const listKeys = { readings: 'reading', results: 'result' } as const;

type ValueList = keyof typeof listKeys;

/** The place of a reading or result: its own id beside its step's. */
const valueSpot = (spot: Spot, id: string): Spot => ({
  step: spot.step,
  reading: id,
  path: [...spot.path, id],
  named: [],
});

/** A reading or result that came, went or moved as a whole is called `reading` or `result`. */
const asValue =
  (list: ValueList) =>
  (change: Change): Change =>
    change.what === '' ? { ...change, what: listKeys[list] } : change;

const inUnits = (change: Change): boolean =>
  change.kind === 'same-in-other-unit' && ['unit', 'limits', 'twin'].includes(change.what);

/** Where a reading has another unit and equal limits, the changes of unit, limits and twin become one. */
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

/** The changes of a step's readings, or of its results. */
export const diffValues = (spot: Spot, list: ValueList, before: Group, after: Group): readonly Change[] => {
  const found = diffLists(
    { ...spot, path: [...spot.path, list] },
    asList(before.fields[list]),
    asList(after.fields[list]),
    valueSpot,
  ).map(asValue(list));
  return byReading(found);
};

/** A step's sheet without its readings and results. */
export const withoutValues = (sheet: Group): Group => ({
  is: 'group',
  fields: { ...sheet.fields, readings: undefined, results: undefined },
});
