import type { Reading, Result, Step } from '../model.ts';
import { samePlace } from './same-place.ts';

/** Old id → new id. */
export interface Renames {
  readonly steps: ReadonlyMap<string, string>;
  /** Readings and results. */
  readonly values: ReadonlyMap<string, string>;
}

/** What a person said of ids: these are the same thing, whatever their texts. */
export type Confirmed = Readonly<Record<string, string>>;

type Rename = readonly [from: string, to: string];

/** What a person said, as far as there are such ids. */
const confirmedIn = (
  confirmed: Confirmed,
  before: ReadonlySet<string>,
  after: ReadonlySet<string>,
): ReadonlyMap<string, string> =>
  new Map(Object.entries(confirmed).filter(([from, to]) => before.has(from) && after.has(to) && from !== to));

interface Found {
  readonly id: string;
  /** What says that two are the same; undefined where nothing does. */
  readonly text: string | undefined;
}

/** Those with the same text, in their order. */
const sameText = (gone: readonly Found[], come: readonly Found[]): readonly Rename[] => {
  const waiting = new Map<string, string[]>();
  for (const { id, text } of come.toReversed()) {
    if (text === undefined) continue;
    const ids = waiting.get(text);
    if (ids === undefined) waiting.set(text, [id]);
    else ids.push(id);
  }
  return gone.flatMap(({ id, text }): readonly Rename[] => {
    const to = text === undefined ? undefined : waiting.get(text)?.pop();
    return to === undefined ? [] : [[id, to]];
  });
};

const idsOf = (steps: readonly Step[]): ReadonlySet<string> => new Set(steps.map(({ step }) => step));

/** The title says what a step is; what is done in it may have been revised. */
const stepFound = ({ step, title }: Step): Found => ({ id: step, text: title });

const stepRenames = (
  before: readonly Step[],
  after: readonly Step[],
  confirmed: Confirmed,
  propose: boolean,
): ReadonlyMap<string, string> => {
  const [oldIds, newIds] = [idsOf(before), idsOf(after)];
  const said = confirmedIn(confirmed, oldIds, newIds);
  if (!propose) return said;
  const told = new Set(said.values());
  const gone = before.filter(({ step }) => !newIds.has(step) && !said.has(step));
  const come = after.filter(({ step }) => !oldIds.has(step) && !told.has(step));
  const same = sameText(gone.map(stepFound), come.map(stepFound));
  return samePlace(before, after, new Map([...said, ...same]));
};

const readingFound = (reading: Reading): Found => {
  const text = reading.ask ?? ('limits' in reading ? reading.limits?.text : undefined);
  return { id: reading.reading, text: text === undefined ? undefined : `${reading.kind} ${text}` };
};

const resultFound = ({ result, calculation }: Result): Found => ({ id: result, text: `result ${calculation}` });

/** The readings and results of a step whose ids the other procedure does not have. */
const valuesOnlyIn = ({ readings, results }: Step, isElsewhere: (id: string) => boolean): readonly Found[] => [
  ...readings.filter(({ reading }) => !isElsewhere(reading)).map(readingFound),
  ...results.filter(({ result }) => !isElsewhere(result)).map(resultFound),
];

const valueIds = (steps: readonly Step[]): ReadonlySet<string> => {
  const ids = new Set<string>();
  for (const { readings, results } of steps) {
    for (const { reading } of readings) ids.add(reading);
    for (const { result } of results) ids.add(result);
  }
  return ids;
};

const valueRenames = (
  before: readonly Step[],
  after: readonly Step[],
  steps: ReadonlyMap<string, string>,
  confirmed: Confirmed,
  propose: boolean,
): ReadonlyMap<string, string> => {
  const [oldIds, newIds] = [valueIds(before), valueIds(after)];
  const said = confirmedIn(confirmed, oldIds, newIds);
  if (!propose) return said;
  const told = new Set(said.values());
  const there = new Map(after.map((step) => [step.step, step]));
  const found = before.flatMap((step): readonly Rename[] => {
    const gone = valuesOnlyIn(step, (id) => newIds.has(id) || said.has(id));
    const now = gone.length === 0 ? undefined : there.get(steps.get(step.step) ?? step.step);
    return now === undefined
      ? []
      : sameText(
          gone,
          valuesOnlyIn(now, (id) => oldIds.has(id) || told.has(id)),
        );
  });
  return new Map([...said, ...found]);
};

/** Which ids of the old steps are called something else in the new ones: what a person confirmed and, where `propose` asks for it, proposals. */
export const findRenames = (
  before: readonly Step[],
  after: readonly Step[],
  confirmed: Confirmed,
  propose: boolean,
): Renames => {
  const steps = stepRenames(before, after, confirmed, propose);
  return { steps, values: valueRenames(before, after, steps, confirmed, propose) };
};
