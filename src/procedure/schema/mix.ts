import * as z from 'zod/mini';
import { err, ok, type Outcome, wrong } from '../../fault/fault.ts';
import { parseLimits } from '../../quantity/limits.ts';
import { parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import { type Duration, parseDuration } from '../../quantity/time.ts';
import { shown } from '../message.ts';
import type { Mix, PotLifePoint } from '../model.ts';
import { complain, type Context, flag, given, listSchema, readWith, textSchema } from './leaves.ts';
import { scheduleOf, tellBare } from './schedule.ts';

/** `35 min at 20 °C`, or a time alone. */
const parseTimeAt = (typed: string): Outcome<{ readonly time: Duration; readonly at?: Quantity }> => {
  const [, timeText, atText] = /^(.*?)(?:\s+at\s+(.*))?$/s.exec(typed) ?? [];
  const time = parseDuration(timeText ?? typed);
  if (!time.ok) return time;
  if (time.value.ms === 0) return err(wrong('value-impossible', `${shown(typed)} is no time at all`, 'write how long'));
  if (atText === undefined) return ok({ time: time.value });
  const at = parseQuantity(atText, { dimension: 'temperature' });
  return at.ok ? ok({ time: time.value, at: at.value }) : at;
};

const timeAt = readWith(parseTimeAt);

/** One point, or a list of them. */
export const timesAt = z.pipe(
  z.union([timeAt, listSchema(timeAt)]),
  z.transform((points): readonly PotLifePoint[] => (Array.isArray(points) ? points : [points])),
);

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
  source: z.optional(textSchema),
});

type FileMix = z.output<typeof file>;

/** Their order counts, and data keeps the order of names alone: one that looks like a number would change its place. */
export const tellPartNames = (names: readonly string[], context: Context, key: string): void => {
  for (const name of names)
    if (!/^\p{L}/u.test(name)) {
      const what = `${shown(name)} cannot be a name here: it begins with a letter`;
      complain(context, name, { code: 'id-unreadable', what, todo: 'name it as the data sheet does' }, [key, name]);
    }
};

const ratioOf = (raw: FileMix, context: Context): Mix['ratio'] => {
  tellPartNames(Object.keys(raw.ratio), context, 'ratio');
  const ratio = Object.entries(raw.ratio).map(([part, share]) => ({ part, share }));
  if (ratio.length < 2) {
    const what = 'a ratio needs two parts';
    complain(context, raw, { code: 'missing-key', what, todo: 'write it as in { resin: 100, hardener: 44 }' }, [
      'ratio',
    ]);
  }
  return ratio;
};

/** A batch is limited in what its parts are measured in. */
const tellBatch = ({ batch, by = 'weight' }: FileMix, context: Context): void => {
  const bound = batch?.low?.base ?? batch?.high?.base;
  const wanted = by === 'weight' ? 'mass' : 'volume';
  if (bound === undefined || 'ref' in bound || bound.unit.dimension === wanted) return;
  const what = `${shown(bound.text)} is no ${wanted}, and the parts are measured by ${by}`;
  complain(context, batch, { code: 'unit-dimension', what, todo: `write it in a unit of ${wanted}` }, ['batch']);
};

const tellTolerance = (tolerance: Quantity, context: Context): void => {
  if (tolerance.amount.compare(0) >= 0 && tolerance.amount.compare(100) < 0) return;
  const what = `a tolerance of ${tolerance.text} is none`;
  complain(context, tolerance, { code: 'value-impossible', what, todo: 'write it as in 2 %' }, ['tolerance']);
};

const tellPotLife = (points: readonly PotLifePoint[], context: Context): void => {
  if (points.length > 1) tellBare('the pot life', points, context, ['pot-life']);
  scheduleOf('the pot life', points, context, ['pot-life']);
};

const toMix = (raw: FileMix, context: Context): Mix => {
  tellTolerance(raw.tolerance, context);
  const by = raw.by ?? 'weight';
  tellBatch(raw, context);
  tellPotLife(raw['pot-life'] ?? [], context);
  const { material, tolerance, batch, sample, source } = raw;
  return given({
    material,
    ratio: ratioOf(raw, context),
    by,
    tolerance,
    batch,
    potLife: raw['pot-life'] ?? [],
    sample: sample ?? false,
    source,
  });
};

export const mixSchema = z.pipe(file, z.transform(toMix));
