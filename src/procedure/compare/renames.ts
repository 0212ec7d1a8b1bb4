import { limitRefs, type Limits, renameRefs } from '../../quantity/limits.ts';
import { type IdChange, withIds } from '../ids.ts';
import type { Reading, Result, Step } from '../model.ts';
import { alike, likelyPairs, tokensOf } from './likeness.ts';

/** Old id → new id. */
export interface Renames {
  readonly steps: ReadonlyMap<string, string>;
  /** Readings and results. */
  readonly values: ReadonlyMap<string, string>;
}

/** What a person said of ids: these are the same thing, whatever their likeness. */
export type Confirmed = Readonly<Record<string, string>>;

const partNames = (step: Step): readonly string[] => [
  ...(step.tighten ? ['tighten'] : []),
  ...(step.mix ? ['mix', step.mix.material] : []),
  ...(step.cure ? ['cure'] : []),
  ...(step.break ? ['break'] : []),
  ...(step.hold ? ['hold'] : []),
];

const aboutStep = (step: Step): ReadonlySet<string> =>
  tokensOf(
    [
      step.step,
      step.title,
      step.do ?? '',
      ...step.readings.map(({ reading }) => reading),
      ...step.results.map(({ result }) => result),
      ...partNames(step),
    ].join(' '),
  );

const likelyStep = 0.6;
const likelyValue = 0.5;

/** A step between the same neighbours is the more likely the same. */
const neighbourly = 0.15;

interface Placed {
  readonly step: Step;
  readonly title: ReadonlySet<string>;
  readonly about: ReadonlySet<string>;
  readonly before: string | undefined;
  readonly behind: string | undefined;
}

const placed = (steps: readonly Step[], known: ReadonlySet<string>): readonly Placed[] =>
  steps.flatMap((step, index) =>
    known.has(step.step)
      ? []
      : [
          {
            step,
            title: tokensOf(step.title),
            about: aboutStep(step),
            before: steps[index - 1]?.step,
            behind: steps[index + 1]?.step,
          },
        ],
  );

const scoreOfSteps = (a: Placed, b: Placed): number =>
  (alike(a.title, b.title) + alike(a.about, b.about)) / 2 +
  ((a.before === b.before && a.before !== undefined) || (a.behind === b.behind && a.behind !== undefined)
    ? neighbourly
    : 0);

const idsOf = (steps: readonly Step[]): ReadonlySet<string> => new Set(steps.map(({ step }) => step));

const confirmedIn = (
  confirmed: Confirmed,
  before: ReadonlySet<string>,
  after: ReadonlySet<string>,
): readonly (readonly [string, string])[] =>
  Object.entries(confirmed).filter(([from, to]) => before.has(from) && after.has(to) && from !== to);

const stepRenames = (
  before: readonly Step[],
  after: readonly Step[],
  confirmed: Confirmed,
  likeness: boolean,
): ReadonlyMap<string, string> => {
  const [oldIds, newIds] = [idsOf(before), idsOf(after)];
  const said = confirmedIn(confirmed, oldIds, newIds);
  if (!likeness) return new Map(said);
  const gone = placed(before, new Set([...newIds, ...said.map(([from]) => from)]));
  const come = placed(after, new Set([...oldIds, ...said.map(([, to]) => to)]));
  const likely = likelyPairs(
    gone.map(({ about }) => about),
    come.map(({ about }) => about),
    (old, now) => scoreOfSteps(gone[old]!, come[now]!),
    likelyStep,
  );
  return new Map([
    ...said,
    ...likely.map(({ old, new: now }) => [gone[old]!.step.step, come[now]!.step.step] as const),
  ]);
};

type Value = Reading | Result;

const valuesOf = (step: Step): readonly Value[] => [...step.readings, ...step.results];

const idOf = (value: Value): string => ('result' in value ? value.result : value.reading);

const isSort = (a: Value, b: Value): boolean => ('result' in a ? 'result' in b : !('result' in b) && a.kind === b.kind);

const aboutValue = (value: Value): ReadonlySet<string> =>
  tokensOf('result' in value ? `${value.result} ${value.calculation}` : `${value.reading} ${value.ask ?? ''}`);

const limitsText = (value: Value): string | undefined => ('limits' in value ? value.limits?.text : undefined);

const scoreOfValues = (a: Value, b: Value): number => {
  if (!isSort(a, b)) return 0;
  const sameLimits = limitsText(a) !== undefined && limitsText(a) === limitsText(b);
  return alike(aboutValue(a), aboutValue(b)) + (sameLimits ? 0.3 : 0);
};

/** Within one step, what went and what came. */
const valueRenamesIn = (
  before: Step,
  after: Step,
  isOld: (id: string) => boolean,
  isNew: (id: string) => boolean,
): readonly (readonly [string, string])[] => {
  const gone = valuesOf(before).filter((value) => !isNew(idOf(value)));
  const come = valuesOf(after).filter((value) => !isOld(idOf(value)));
  if (gone.length === 0 || come.length === 0) return [];
  // So few are in one step that every pair may be looked at, also those without a word in common.
  const everyPair = [new Set(['any'])];
  const pairs = likelyPairs(
    gone.flatMap(() => everyPair),
    come.flatMap(() => everyPair),
    (old, now) => scoreOfValues(gone[old]!, come[now]!),
    likelyValue,
  );
  return pairs.map(({ old, new: now }) => [idOf(gone[old]!), idOf(come[now]!)] as const);
};

const valueRenames = (
  before: readonly Step[],
  after: readonly Step[],
  steps: ReadonlyMap<string, string>,
  confirmed: Confirmed,
  likeness: boolean,
): ReadonlyMap<string, string> => {
  const oldIds = new Set(before.flatMap((step) => valuesOf(step).map(idOf)));
  const newIds = new Set(after.flatMap((step) => valuesOf(step).map(idOf)));
  const said = new Map(confirmedIn(confirmed, oldIds, newIds));
  if (!likeness) return said;
  const told = new Set(said.values());
  const there = new Map(after.map((step) => [step.step, step]));
  const found = before.flatMap((step) => {
    const now = there.get(steps.get(step.step) ?? step.step);
    return now === undefined
      ? []
      : valueRenamesIn(
          step,
          now,
          (id) => oldIds.has(id) || told.has(id),
          (id) => newIds.has(id) || said.has(id),
        );
  });
  return new Map([...said, ...found]);
};

/** Which ids of the old steps are called something else in the new ones: what is confirmed and, by likeness, proposals. */
export const proposeRenames = (
  before: readonly Step[],
  after: readonly Step[],
  confirmed: Confirmed,
  likeness: boolean,
): Renames => {
  const steps = stepRenames(before, after, confirmed, likeness);
  return { steps, values: valueRenames(before, after, steps, confirmed, likeness) };
};

const renameLimits = (limits: Limits, values: ReadonlyMap<string, string>): Limits => {
  const refs = new Set(limitRefs(limits).filter((id) => values.has(id)));
  if (refs.size === 0) return limits;
  const rename = (id: string): string => (refs.has(id) ? (values.get(id) ?? id) : id);
  return { ...renameRefs(limits, rename), text: limits.text.replace(/[\p{L}\p{N}/-]+/gu, rename) };
};

/** The old steps under their new ids. */
export const renameSteps = (steps: readonly Step[], { steps: ids, values }: Renames): readonly Step[] => {
  if (ids.size === 0 && values.size === 0) return steps;
  const keep = (id: string): string => id;
  const step = (id: string): string => ids.get(id) ?? id;
  const value = (id: string): string => values.get(id) ?? id;
  const change: IdChange = {
    own: { step, value, item: keep, photo: keep },
    steps: (list) => list.map(step),
    value,
    items: (list) => list,
    limits: (limits) => renameLimits(limits, values),
  };
  return steps.map((one) => withIds(one, change));
};
