import * as z from 'zod/mini';
import { suggest } from '../../fault/nearest.ts';
import { compareQuantities, type Quantity } from '../../quantity/quantity.ts';
import { atLeast, pointsLeaf } from '../compare/leaf-values.ts';
import { type Group, groupField, limitsLeaf, listItems, names, plain, timeLeaf, words } from '../compare/sheet.ts';
import { listed, shown } from '../message.ts';
import type { Cure, CureStage, PotLifePoint } from '../model.ts';
import { isEarlierOrHere } from '../resolving.ts';
import { complain, type Context, duration, given, quantitySchema, textSchema, textOrList } from '../schema/leaves.ts';
import { scheduleOf, requireTemperatures, requirePartNames, timesAt } from '../schema/schedule.ts';
import { checkStepsWith } from '../step-names.ts';
import type { WrittenPart } from './part.ts';

const file = z.strictObject({
  of: textOrList,
  stages: z.record(z.string(), timesAt),
  until: z.optional(textSchema),
  floor: z.optional(quantitySchema('temperature')),
  'reading-every': z.optional(duration),
  between: z.optional(z.enum(['stated', 'arrhenius'])),
  source: z.optional(textSchema),
});

type FileCure = z.output<typeof file>;

/** A stage, with an issue where its times do not fall as the temperature rises. */
const stageOf = (stage: string, typed: readonly PotLifePoint[], context: Context): CureStage => {
  const [name, path] = [`the stage ${stage}`, ['stages', stage]];
  requireTemperatures(name, typed, context, path);
  return { stage, points: scheduleOf(name, typed, context, path) };
};

const ends = (stages: readonly CureStage[], which: 'coldest' | 'hottest'): Quantity | undefined =>
  stages
    .flatMap(({ points }) => points.map(({ at }) => at))
    .toSorted(compareQuantities)
    .at(which === 'coldest' ? 0 : -1);

/** Requires the shortest stage first. Two stages are the wrong way round where every time of the first is longer than every time of the next. */
const requireStageOrder = (stages: readonly CureStage[], context: Context): void => {
  for (const [index, { stage, points }] of stages.entries()) {
    const before = stages[index - 1];
    if (before === undefined || points.length === 0 || before.points.length === 0) continue;
    const longest = Math.max(...points.map(({ time }) => time.ms));
    if (before.points.some(({ time }) => time.ms <= longest)) continue;
    const what = `the stage ${stage} is over before ${before.stage}, which stands above it`;
    complain(context, stage, { code: 'cure-schedule', what, todo: 'put the shortest stage first' }, ['stages', stage]);
  }
};

const untilOf = (raw: FileCure, stages: readonly CureStage[], context: Context): string => {
  const names = stages.map(({ stage }) => stage);
  const until = raw.until ?? names[0] ?? '';
  if (raw.until !== undefined && !names.includes(until)) {
    const todo = `write ${suggest(until, names) ?? listed(names)}`;
    complain(context, until, { code: 'unknown-stage', what: `this cure has no stage ${shown(until)}`, todo }, [
      'until',
    ]);
  }
  return until;
};

const floorOf = (raw: FileCure, stages: readonly CureStage[], context: Context): Quantity | undefined => {
  const coldest = ends(stages, 'coldest');
  const hottest = ends(stages, 'hottest');
  const { floor } = raw;
  if (floor !== undefined && hottest !== undefined && compareQuantities(floor, hottest) > 0) {
    const what = `the floor ${floor.text} is above every temperature of the stages, so nothing would count`;
    complain(context, floor, { code: 'cure-floor', what, todo: 'check the floor and the stages against the source' }, [
      'floor',
    ]);
  }
  return floor ?? coldest;
};

/** Requires an interval above zero: with zero, no temperature would ever count. */
const requireInterval = (raw: FileCure, context: Context): void => {
  const every = raw['reading-every'];
  if (every === undefined || every.ms > 0) return;
  const what = `${shown(every.text)} is no time at all, so nothing would count`;
  complain(context, raw, { code: 'value-impossible', what, todo: 'write it as in 12 h' }, ['reading-every']);
};

const toCure = (raw: FileCure, context: Context): Cure => {
  const stages = Object.entries(raw.stages).map(([stage, points]) => stageOf(stage, points, context));
  if (stages.length === 0) {
    const what = 'a cure needs a stage';
    complain(context, raw, { code: 'missing-key', what, todo: 'write it as in { handle: 24 h at 20 °C }' }, ['stages']);
  }
  requirePartNames(Object.keys(raw.stages), context, 'stages');
  requireInterval(raw, context);
  requireStageOrder(stages, context);
  const until = untilOf(raw, stages, context);
  // Below the coldest point nothing counts anyway, so it is the floor where none is written.
  const floor = floorOf(raw, stages, context);
  if (floor === undefined) return z.NEVER;
  const { of, between, source } = raw;
  return given({ of, stages, until, floor, readingEvery: raw['reading-every'], between: between ?? 'stated', source });
};

const sheet = (cure: Cure): Group =>
  groupField({
    of: names(cure.of),
    stages: listItems(
      'ids',
      cure.stages.map(({ stage, points }) => ({ id: stage, node: pointsLeaf(points) })),
    ),
    until: plain(cure.until),
    floor: limitsLeaf(atLeast(cure.floor)),
    'reading-every': timeLeaf(cure.readingEvery),
    between: plain(cure.between),
    source: words(cure.source),
  });

export const writtenCure: WrittenPart<'cure'> = {
  slot: 'cure',
  key: 'cure',
  about: 'The wait for a mix to set, by logged temperature.',
  hints: {
    of: 'The mix step that cures.',
    stages: 'Shortest first: { handle: [24 h at 25 °C, 48 h at 18 °C], full: 7 d at 20 °C }.',
    until: 'The stage that the step waits for; the first where nothing is said.',
    floor: 'The temperature below which nothing counts.',
    'reading-every': 'How far apart two logged temperatures may be: 12 h.',
    between: 'stated: the colder point’s rate between two points; arrhenius: along the curve.',
  },
  schema: z.pipe(file, z.transform(toCure)),
  faultDepth: 1,
  resolve: (cure, resolving) => {
    checkStepsWith(resolving, 'mix', cure.of, ['cure', 'of'], isEarlierOrHere(resolving.index));
    return cure;
  },
  sheet,
  rekey: (cure, change) => ({ ...cure, of: change.steps(cure.of) }),
  sourced: ({ source }) => [{ name: 'cure', source, path: ['cure'] }],
  isWork: true,
};
