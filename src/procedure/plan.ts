import type { Limits } from '../quantity/limits.ts';
import { renameRefs } from '../quantity/limits.ts';
import type { Procedure, Reading, Result, ResultInput, Step } from './model.ts';
import { given } from './schema/leaves.ts';

/** A procedure for one side: `<each>` replaced, every step that is there once for each of several named by itself. */
export interface Plan extends Omit<Procedure, 'steps'> {
  /** The side; absent where the procedure has none. */
  readonly side?: string;
  readonly steps: readonly Step[];
}

const sideSign = '<each>';

/** `<each>` replaced in every text of plain data. What holds none is kept as it is, not copied. */
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
    copy[named] = withSide(inner, side);
    changed ||= named !== key || copy[named] !== inner;
  }
  return (changed ? Object.freeze(copy) : value) as T;
};

/** Where an id leads: the step that holds it in the file, by the id's namespace. */
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

/** The expanded ids that one id means, seen from an instance: the same instance where there is one, else all. */
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
  const one = (kind: keyof Owners, id: string): string => all(kind, [id])[0] ?? id;
  const value = (id: string): string => one('values', id);
  const limits = <T extends Limits | undefined>(typed: T): T =>
    (typed === undefined ? typed : renameRefs(typed, value)) as T;
  const input = (typed: ResultInput): ResultInput =>
    typed.kind === 'id' ? { kind: 'id', id: value(typed.id) } : typed;
  return given({
    ...step,
    step: own(step.step),
    for: [],
    instance,
    onlyIf: step.onlyIf && { reading: value(step.onlyIf.reading), is: limits(step.onlyIf.is) },
    inPotLifeOf: all('steps', step.inPotLifeOf),
    afterStage: step.afterStage && { ...step.afterStage, cures: all('steps', step.afterStage.cures) },
    backTo: step.backTo === undefined ? undefined : one('steps', step.backTo),
    readings: step.readings.map((reading) => instantiateReading(reading, own, limits)),
    results: step.results.map((result) => instantiateResult(result, own, limits, input)),
    tighten: step.tighten && instantiateTighten(step.tighten, limits, input),
    cure: step.cure && { ...step.cure, of: all('steps', step.cure.of) },
    break: step.break && { ...step.break, of: all('steps', step.break.of) },
    hold: step.hold && given({ ...step.hold, of: step.hold.of && all('steps', step.hold.of) }),
    loose: step.loose.map((loose) => ({ ...loose, item: own(loose.item) })),
    closes: all('loose', step.closes),
    photos: step.photos.map((photo) => ({ ...photo, photo: own(photo.photo) })),
  });
};

type Rename = (id: string) => string;
type RenameLimits = <T extends Limits | undefined>(limits: T) => T;
type RenameInput = (input: ResultInput) => ResultInput;

const instantiateReading = (reading: Reading, own: Rename, limits: RenameLimits): Reading =>
  'limits' in reading
    ? { ...reading, reading: own(reading.reading), limits: limits(reading.limits) }
    : { ...reading, reading: own(reading.reading) };

const instantiateResult = (result: Result, own: Rename, limits: RenameLimits, input: RenameInput): Result =>
  given({
    ...result,
    result: own(result.result),
    with: Object.fromEntries(Object.entries(result.with).map(([name, typed]) => [name, input(typed)])),
    limits: limits(result.limits),
  });

const instantiateTighten = (
  tighten: NonNullable<Step['tighten']>,
  limits: RenameLimits,
  input: RenameInput,
): NonNullable<Step['tighten']> =>
  given({
    ...tighten,
    torque: limits(tighten.torque),
    fingerTight: limits(tighten.fingerTight),
    past: limits(tighten.past),
    drag: tighten.drag === undefined || tighten.drag === 'measured' ? tighten.drag : input(tighten.drag),
  });

/** Where a procedure has no step `for` several, its steps are the plan's. */
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

const indexes = new WeakMap<Plan, Index>();

const indexOf = (plan: Plan): Index => {
  const known = indexes.get(plan);
  if (known !== undefined) return known;
  const { steps } = plan;
  const index: Index = {
    steps: new Map(steps.map((step) => [step.step, step])),
    readings: new Map(steps.flatMap((step) => step.readings.map((reading) => [reading.reading, { step, reading }]))),
    results: new Map(steps.flatMap((step) => step.results.map((result) => [result.result, { step, result }]))),
  };
  indexes.set(plan, index);
  return index;
};

/** The step of a plan by its expanded id. The three look-ups take the same time however long the plan is. */
export const stepOf = (plan: Plan, id: string): Step | undefined => indexOf(plan).steps.get(id);

export const readingOf = (plan: Plan, id: string): { readonly step: Step; readonly reading: Reading } | undefined =>
  indexOf(plan).readings.get(id);

export const resultOf = (plan: Plan, id: string): { readonly step: Step; readonly result: Result } | undefined =>
  indexOf(plan).results.get(id);
