import * as z from 'zod/mini';
import { parseLimits } from '../../quantity/limits.ts';
import { parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import { atMost, pointsLeaf } from '../compare/leaf-values.ts';
import { type Group, groupField, limitsLeaf, listItems, plain, words } from '../compare/sheet.ts';
import { shown } from '../message.ts';
import type { Mix, PotLifePoint } from '../model.ts';
import { isEarlierOrHere } from '../resolving.ts';
import { complain, type Context, flag, given, readWith, textSchema, word } from '../schema/leaves.ts';
import { scheduleOf, requireTemperatures, requirePartNames, timesAt } from '../schema/schedule.ts';
import { checkLimits } from '../values.ts';
import type { WrittenPart } from './part.ts';

const share = z.pipe(
  textSchema,
  z.transform((typed, context) => {
    if (!/^\d{1,9}(?:\.\d{1,9})?$/.test(typed) || Number(typed) === 0) {
      const what = `the share ${shown(typed)} is not a number above 0`;
      complain(context, typed, { code: 'wrong-kind', what, todo: 'write a number such as 44' });
    }
    return typed;
  }),
);

const file = z.strictObject({
  material: textSchema,
  ratio: z.record(z.string(), share),
  by: z.optional(z.enum(['weight', 'volume'])),
  tolerance: readWith((typed) => parseQuantity(typed, { dimension: 'percent' })),
  batch: z.optional(readWith((typed) => parseLimits(typed))),
  'pot-life': z.optional(timesAt),
  sample: z.optional(flag),
  tool: z.optional(word),
  source: z.optional(textSchema),
});

type FileMix = z.output<typeof file>;

const ratioOf = (raw: FileMix, context: Context): Mix['ratio'] => {
  requirePartNames(Object.keys(raw.ratio), context, 'ratio');
  const ratio = Object.entries(raw.ratio).map(([part, share]) => ({ part, share }));
  if (ratio.length < 2) {
    const what = 'a ratio needs two parts';
    complain(context, raw, { code: 'missing-key', what, todo: 'write it as in { resin: 100, hardener: 44 }' }, [
      'ratio',
    ]);
  }
  return ratio;
};

/** Requires the batch's limits to be of the quantity (mass, volume) in which the parts are measured. */
const checkBatch = ({ batch, by = 'weight' }: FileMix, context: Context): void => {
  const bound = batch?.low?.base ?? batch?.high?.base;
  const wanted = by === 'weight' ? 'mass' : 'volume';
  if (bound === undefined || 'ref' in bound || bound.unit.dimension === wanted) return;
  const what = `${shown(bound.text)} is no ${wanted}, and the parts are measured by ${by}`;
  complain(context, batch, { code: 'unit-dimension', what, todo: `write it in a unit of ${wanted}` }, ['batch']);
};

const checkTolerance = (tolerance: Quantity, context: Context): void => {
  if (tolerance.amount.compare(0) >= 0 && tolerance.amount.compare(100) < 0) return;
  const what = `a tolerance of ${tolerance.text} is none`;
  complain(context, tolerance, { code: 'value-impossible', what, todo: 'write it as in 2 %' }, ['tolerance']);
};

const checkPotLifePoints = (points: readonly PotLifePoint[], context: Context): void => {
  if (points.length > 1) requireTemperatures('the pot life', points, context, ['pot-life']);
  scheduleOf('the pot life', points, context, ['pot-life']);
};

const toMix = (raw: FileMix, context: Context): Mix => {
  checkTolerance(raw.tolerance, context);
  const by = raw.by ?? 'weight';
  checkBatch(raw, context);
  checkPotLifePoints(raw['pot-life'] ?? [], context);
  const { material, tolerance, batch, sample, tool, source } = raw;
  return given({
    material,
    ratio: ratioOf(raw, context),
    by,
    tolerance,
    batch,
    potLife: raw['pot-life'] ?? [],
    sample: sample ?? false,
    tool,
    source,
  });
};

const sheet = (mix: Mix): Group =>
  groupField({
    material: plain(mix.material),
    ratio: listItems(
      'ids',
      mix.ratio.map(({ part, share }) => ({ id: part, node: { is: 'leaf', text: share, value: { as: 'plain' } } })),
    ),
    by: plain(mix.by),
    tolerance: limitsLeaf(atMost(mix.tolerance)),
    batch: limitsLeaf(mix.batch),
    'pot-life': mix.potLife.length === 0 ? undefined : pointsLeaf(mix.potLife),
    sample: plain(mix.sample),
    tool: plain(mix.tool),
    source: words(mix.source),
  });

export const writtenMix: WrittenPart<'mix'> = {
  slot: 'mix',
  key: 'mix',
  about: 'What is mixed together, and how well it must be weighed.',
  hints: {
    material: 'The material, as gather names it.',
    ratio: 'Shares, the base first: { resin: 100, hardener: 44 }.',
    by: 'weight, or volume.',
    tolerance: 'Of each part’s own target: 2 %.',
    batch: 'Limits on the sum of the parts: 30 to 150 g.',
    'pot-life': 'How long it may be applied: [35 min at 20 °C, 20 min at 28 °C].',
    sample: 'true: a piece of each batch is kept, and broken, to prove that it set.',
    tool: 'The kind of scale that weighs it, as gather names it.',
  },
  schema: z.pipe(file, z.transform(toMix)),
  faultDepth: 2,
  resolve: (mix, resolving) => {
    const { index, path } = resolving;
    checkLimits(resolving, mix.batch, [...path, 'mix', 'batch'], isEarlierOrHere(index), undefined);
    return mix;
  },
  sheet,
  uses: ({ material, tool }) => [
    { kind: 'material', name: material, path: ['mix', 'material'] },
    { kind: 'tool', name: tool, path: ['mix', 'tool'] },
  ],
  sourced: ({ source }) => [{ name: 'mix', source, path: ['mix'] }],
  neverNegative: ({ batch }) => [{ limits: batch, path: ['mix', 'batch'], what: 'a batch', aboveZero: true }],
  isWork: true,
};
