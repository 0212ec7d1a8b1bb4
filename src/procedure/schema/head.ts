import * as z from 'zod/mini';
import { compareQuantities, parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import { shown } from '../message.ts';
import type {
  After,
  Chart,
  GatheredMaterial,
  Gather,
  GatheredPart,
  Procedure,
  ShopLimits,
  GatheredTool,
} from '../model.ts';
import {
  complain,
  type Context,
  day,
  duration,
  flag,
  given,
  id,
  limitsIn,
  listSchema,
  ones,
  calendarDurationSchema,
  take,
  textSchema,
  textOrList,
  wholeSchema,
  word,
} from './leaves.ts';

const tool = z.pipe(
  z.strictObject({ tool: word, title: z.optional(textSchema), 'in-date': z.optional(flag) }),
  z.transform((raw): GatheredTool => given({ tool: raw.tool, title: raw.title, inDate: raw['in-date'] ?? false })),
);

const material = z.pipe(
  z.strictObject({ material: word, title: z.optional(textSchema), lot: z.optional(flag), 'in-date': z.optional(flag) }),
  z.transform((raw): GatheredMaterial =>
    given({ material: raw.material, title: raw.title, lot: raw.lot ?? false, inDate: raw['in-date'] ?? false }),
  ),
);

const part = z.pipe(
  z.strictObject({
    part: textSchema,
    title: z.optional(textSchema),
    quantity: z.optional(wholeSchema),
    serial: z.optional(flag),
  }),
  z.transform((raw): GatheredPart =>
    given({ part: raw.part, title: raw.title, quantity: raw.quantity, serial: raw.serial ?? false }),
  ),
);

const shop = z.pipe(
  z.strictObject({
    temperature: z.optional(limitsIn('°C', 'temperature')),
    humidity: z.optional(limitsIn('%')),
    'above-dew-point': z.optional(limitsIn('°C', 'temperature-difference')),
    'not-older': z.optional(duration),
  }),
  z.transform((raw): ShopLimits =>
    given({
      temperature: raw.temperature,
      humidity: raw.humidity,
      aboveDewPoint: raw['above-dew-point'],
      notOlder: raw['not-older'],
    }),
  ),
);

const gather = z.strictObject({
  tools: z.optional(listSchema(tool)),
  materials: z.optional(listSchema(material)),
  parts: z.optional(listSchema(part)),
  shop: z.optional(shop),
});

const after = z.pipe(
  z.union([
    id,
    z.strictObject({ procedure: id, 'not-older': z.optional(calendarDurationSchema), 'same-lot': z.optional(flag) }),
  ]),
  z.transform((raw): After =>
    typeof raw === 'string'
      ? { procedure: raw, sameLot: false }
      : given({ procedure: raw.procedure, notOlder: raw['not-older'], sameLot: raw['same-lot'] ?? false }),
  ),
);

const requireRise = (points: Chart['of'], context: Context): void => {
  for (const [index, { x }] of points.entries()) {
    const before = points[index - 1];
    if (before === undefined || compareQuantities(before.x, x) < 0) continue;
    const what = `${shown(x.text)} does not lie above ${shown(before.x.text)}`;
    complain(context, x, { code: 'chart-wrong', what, todo: 'write the points in rising order' }, ['of', index * 2]);
  }
};

const toChart = (raw: { chart: string; of: string[] }, context: Context): Chart => {
  const dimensions: (Quantity | undefined)[] = [];
  const read = raw.of.map((typed, index) => {
    const like = dimensions[index % 2];
    const quantity = take(
      context,
      parseQuantity(typed, like === undefined ? {} : { dimension: like.unit.dimension }),
      typed,
      ['of', index],
    );
    dimensions[index % 2] ??= quantity;
    return quantity;
  });
  if (read.length < 4 || read.length % 2 === 1) {
    const what = 'a chart needs pairs of values, at least two';
    complain(context, raw, { code: 'chart-wrong', what, todo: 'write it as in [0 °C, 140 N, 10 °C, 160 N]' }, ['of']);
  }
  const of = read.flatMap((x, index) => {
    const y = read[index + 1];
    return index % 2 === 0 && x !== undefined && y !== undefined ? [{ x, y }] : [];
  });
  requireRise(of, context);
  return { chart: raw.chart, of };
};

const chart = z.pipe(z.strictObject({ chart: id, of: listSchema(textSchema) }), z.transform(toChart));

/** Everything of a procedure file but its steps. */
export const headShape = {
  procedure: id,
  title: textSchema,
  revision: textSchema,
  manual: z.optional(
    z.pipe(
      z.strictObject({
        document: z.optional(textSchema),
        section: z.optional(textSchema),
        revision: z.optional(textSchema),
        date: z.optional(day),
      }),
      z.transform((raw) => given(raw)),
    ),
  ),
  purpose: z.optional(textSchema),
  each: z.optional(ones),
  after: z.optional(listSchema(after)),
  answers: z.optional(z.strictObject({ bulletin: textSchema, of: id })),
  strict: z.optional(flag),
  takes: z.optional(duration),
  people: z.optional(wholeSchema),
  gather: z.optional(gather),
  charts: z.optional(listSchema(chart)),
  warnings: z.optional(textOrList),
};

const file = z.strictObject({ ...headShape, steps: listSchema(z.unknown()) });

const none: readonly never[] = Object.freeze([]);

const toGather = (raw: z.output<typeof gather> | undefined): Gather =>
  given({ tools: raw?.tools ?? none, materials: raw?.materials ?? none, parts: raw?.parts ?? none, shop: raw?.shop });

/** The head. The steps are read one by one by another schema, so that a faulty one does not hide the others. */
export const head = z.pipe(
  file,
  z.transform((raw): Omit<Procedure, 'steps'> =>
    given({
      procedure: raw.procedure,
      title: raw.title,
      revision: raw.revision,
      manual: raw.manual,
      purpose: raw.purpose,
      each: raw.each ?? none,
      after: raw.after ?? none,
      answers: raw.answers,
      strict: raw.strict ?? false,
      takes: raw.takes,
      people: raw.people ?? 1,
      gather: toGather(raw.gather),
      charts: raw.charts ?? none,
      warnings: raw.warnings ?? none,
    }),
  ),
);
