import type { Step } from '../model.ts';

/** A reading or result that belongs to another step now. */
export interface CarriedValue {
  readonly list: 'readings' | 'results';
  readonly id: string;
  readonly from: string;
  readonly to: string;
  /** The one before it in its new step. */
  readonly after?: string;
}

const idsIn = (step: Step, list: CarriedValue['list']): readonly string[] =>
  list === 'readings' ? step.readings.map(({ reading }) => reading) : step.results.map(({ result }) => result);

const ownersOf = (steps: readonly Step[], list: CarriedValue['list']): ReadonlyMap<string, string> =>
  new Map(steps.flatMap((step) => idsIn(step, list).map((id) => [id, step.step] as const)));

/** Readings (or results) that both procedures have, in different steps that both have. In the new procedure's order. */
const carriedIn = (
  before: readonly Step[],
  after: readonly Step[],
  list: CarriedValue['list'],
): readonly CarriedValue[] => {
  const owners = ownersOf(before, list);
  const [oldSteps, newSteps] = [new Set(before.map(({ step }) => step)), new Set(after.map(({ step }) => step))];
  return after.flatMap((step) => {
    if (!oldSteps.has(step.step)) return [];
    const ids = idsIn(step, list);
    return ids.flatMap((id, index) => {
      const from = owners.get(id);
      if (from === undefined || from === step.step || !newSteps.has(from)) return [];
      // It can be put behind a value only if that is there when the change is carried out.
      const behind = ids.slice(0, index).findLast((other) => owners.has(other) && newSteps.has(owners.get(other)!));
      return [{ list, id, from, to: step.step, ...(behind === undefined ? {} : { after: behind }) }];
    });
  });
};

export const carriedBetween = (before: readonly Step[], after: readonly Step[]): readonly CarriedValue[] => [
  ...carriedIn(before, after, 'readings'),
  ...carriedIn(before, after, 'results'),
];

/** Puts an item behind another one; without that, first. */
export const insertAfter = <T>(
  items: readonly T[],
  item: T,
  isBefore: ((other: T) => boolean) | undefined,
): readonly T[] => items.toSpliced(isBefore === undefined ? 0 : items.findIndex(isBefore) + 1, 0, item);

const carryOne = <T>(
  source: readonly T[],
  target: readonly T[],
  idOf: (item: T) => string,
  { id, after }: CarriedValue,
): readonly [readonly T[], readonly T[]] => {
  const item = source.find((one) => idOf(one) === id);
  if (item === undefined) return [source, target];
  const isBefore = after === undefined ? undefined : (other: T): boolean => idOf(other) === after;
  return [source.filter((one) => one !== item), insertAfter(target, item, isBefore)];
};

/** The old steps with every carried reading and result in its new step. */
export const carrySteps = (steps: readonly Step[], carried: readonly CarriedValue[]): readonly Step[] => {
  if (carried.length === 0) return steps;
  const byId = new Map(steps.map((step) => [step.step, step]));
  for (const one of carried) {
    const [from, to] = [byId.get(one.from)!, byId.get(one.to)!];
    if (one.list === 'readings') {
      const [left, right] = carryOne(from.readings, to.readings, ({ reading }) => reading, one);
      byId.set(one.from, { ...from, readings: left }).set(one.to, { ...to, readings: right });
    } else {
      const [left, right] = carryOne(from.results, to.results, ({ result }) => result, one);
      byId.set(one.from, { ...from, results: left }).set(one.to, { ...to, results: right });
    }
  }
  return steps.map((step) => byId.get(step.step)!);
};
