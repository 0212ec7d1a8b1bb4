import { renameRefs } from '../quantity/limits.ts';
import { withIds } from './ids.ts';
import type { Procedure, Reading, Result, Step } from './model.ts';
import { given } from './schema/leaves.ts';
import { memoised } from '../fault/memo.ts';
import { put } from '../fault/own.ts';

/** A procedure for one side: `<each>` is replaced, and a step with `for` has become one step for each instance. */
export interface Plan extends Omit<Procedure, 'steps'> {
  /** The side; absent where the procedure has none. */
  readonly side?: string;
  readonly steps: readonly Step[];
}

const sideSign = '<each>';

/** Plain data with `<each>` replaced in every text. What holds no `<each>` is kept, not copied. */
const withSide = <T>(value: T, side: string): T => {
  if (typeof value === 'string') return value.replaceAll(sideSign, side) as T;
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) {
    const items = value.map((item: unknown) => withSide(item, side));
    return (items.some((item, index) => item !== value[index]) ? items : value) as T;
  }
  // Units and fractions are objects of their own kind and hold no text of the procedure.
  if (Object.getPrototypeOf(value) !== Object.prototype) return value;
  let changed = false;
  const copy: Record<string, unknown> = {};
  for (const [key, inner] of Object.entries(value)) {
    const named = key.replaceAll(sideSign, side);
    const now: unknown = withSide(inner, side);
    put(copy, named, now);
    changed ||= named !== key || now !== inner;
  }
  return (changed ? Object.freeze(copy) : value) as T;
};

/** By namespace: the step of the file that holds an id. */
interface Owners {
  readonly steps: ReadonlyMap<string, Step>;
  readonly values: ReadonlyMap<string, Step>;
  readonly loose: ReadonlyMap<string, Step>;
}

const ownersOf = (steps: readonly Step[]): Owners => {
  const entriesOf = (ids: (step: Step) => readonly string[]) =>
    new Map(steps.flatMap((step) => ids(step).map((id) => [id, step] as const)));
  return {
    steps: entriesOf((step) => [step.step]),
    values: entriesOf((step) => [...step.readings.map((r) => r.reading), ...step.results.map((r) => r.result)]),
    loose: entriesOf((step) => step.loose.map(({ item }) => item)),
  };
};

/** The expanded ids that one id means, named from an instance: that of the same instance where there is one, else all. */
const meantBy = (owner: Step | undefined, id: string, instance: string | undefined): readonly string[] => {
  if (owner === undefined || owner.for.length === 0) return [id];
  if (instance !== undefined && owner.for.includes(instance)) return [`${id}/${instance}`];
  return owner.for.map((one) => `${id}/${one}`);
};

/** Renames one step's references and its own ids for one of its instances. */
const instantiate = (step: Step, instance: string | undefined, owners: Owners): Step => {
  const own = (id: string): string => (instance === undefined ? id : `${id}/${instance}`);
  const all = (kind: keyof Owners, ids: readonly string[]): readonly string[] =>
    ids.flatMap((id) => meantBy(owners[kind].get(id), id, instance));
  const value = (id: string): string => all('values', [id])[0] ?? id;
  const named = withIds(step, {
    own: { step: own, value: own, item: own, photo: own },
    steps: (ids) => all('steps', ids),
    value,
    items: (ids) => all('loose', ids),
    limits: (limits) => renameRefs(limits, value),
  });
  return given({ ...named, for: [], instance });
};

/** A procedure's steps, with one step for each instance of those that have `for`. */
const expand = (steps: readonly Step[]): readonly Step[] => {
  if (steps.every((step) => step.for.length === 0)) return steps;
  const owners = ownersOf(steps);
  return steps.flatMap((step) =>
    step.for.length === 0
      ? [instantiate(step, undefined, owners)]
      : step.for.map((instance) => instantiate(step, instance, owners)),
  );
};

/** The plan of a job. Without a side, `<each>` stays as it is written. */
export const planFor = (procedure: Procedure, side?: string): Plan => {
  const sided =
    side === undefined ? procedure : { ...withSide({ ...procedure, each: [] }, side), each: procedure.each };
  return given({ ...sided, side, steps: expand(sided.steps) });
};

interface Index {
  readonly steps: ReadonlyMap<string, Step>;
  readonly readings: ReadonlyMap<string, { readonly step: Step; readonly reading: Reading }>;
  readonly results: ReadonlyMap<string, { readonly step: Step; readonly result: Result }>;
}

const indexOf = memoised(({ steps }: Plan): Index => ({
  steps: new Map(steps.map((step) => [step.step, step])),
  readings: new Map(steps.flatMap((step) => step.readings.map((reading) => [reading.reading, { step, reading }]))),
  results: new Map(steps.flatMap((step) => step.results.map((result) => [result.result, { step, result }]))),
}));

/** The step of a plan by its expanded id. The three look-ups take the same time however long the plan is. */
export const stepOf = (plan: Plan, id: string): Step | undefined => indexOf(plan).steps.get(id);

export const readingOf = (plan: Plan, id: string): { readonly step: Step; readonly reading: Reading } | undefined =>
  indexOf(plan).readings.get(id);

export const resultOf = (plan: Plan, id: string): { readonly step: Step; readonly result: Result } | undefined =>
  indexOf(plan).results.get(id);
