import * as z from 'zod/mini';
import { suggest } from '../../fault/nearest.ts';
import { parseLimits } from '../../quantity/limits.ts';
import { differenceUnit, findUnit, nearestUnit, type Unit } from '../../quantity/units.ts';
import { triesLeaf } from '../compare/leaf-values.ts';
import { type Group, groupField, limitsLeaf, listItems, names, plain, words } from '../compare/sheet.ts';
import type { IdChange } from '../id-change.ts';
import { listed, shown } from '../message.ts';
import type { Reading } from '../model.ts';
import type { IsAbove, Resolving } from '../resolving.ts';
import {
  complain,
  type Context,
  countUnit,
  flag,
  given,
  id,
  listSchema,
  take,
  textSchema,
  tries,
  wholeSchema,
  word,
} from '../schema/leaves.ts';
import { checkLimits } from '../values.ts';
import type { WrittenPart } from './part.ts';

const file = z.strictObject({
  reading: id,
  ask: z.optional(textSchema),
  unit: z.optional(textSchema),
  count: z.optional(flag),
  text: z.optional(flag),
  choices: z.optional(listSchema(textSchema)),
  accept: z.optional(listSchema(textSchema)),
  limits: z.optional(textSchema),
  tool: z.optional(textSchema),
  source: z.optional(textSchema),
  positions: z.optional(listSchema(word)),
  times: z.optional(wholeSchema),
  decide: z.optional(z.enum(['plain', 'guarded'])),
  tries: z.optional(tries),
  blind: z.optional(flag),
  twin: z.optional(textSchema),
});

type FileReading = z.output<typeof file>;

const kinds = ['unit', 'count', 'text', 'choices'] as const;
type Kind = (typeof kinds)[number];

/** Keys that only some kinds of reading may have. */
const ownKeys: Partial<Record<keyof FileReading, readonly Kind[]>> = {
  limits: ['unit', 'count'],
  decide: ['unit'],
  twin: ['unit'],
  accept: ['choices'],
};

const kindOf = (raw: FileReading, context: Context): Kind | undefined => {
  const named = kinds.filter((kind) => raw[kind] !== undefined && raw[kind] !== false);
  const [kind, second] = named;
  if (kind !== undefined && second === undefined) return kind;
  const what =
    kind === undefined
      ? `the reading ${raw.reading} does not say what is entered`
      : `the reading ${raw.reading} has both ${kind} and ${second}`;
  const todo =
    kind === undefined && raw.limits !== undefined
      ? 'add unit: with the unit of its limits, or count: true'
      : 'give it one of unit, count: true, text: true, choices';
  complain(context, raw, { code: 'reading-kind', what, todo });
  return undefined;
};

const checkOwnKeys = (raw: FileReading, kind: Kind, context: Context): void => {
  for (const [key, owners] of Object.entries(ownKeys) as [keyof FileReading, readonly Kind[]][])
    if (raw[key] !== undefined && !owners.includes(kind))
      complain(
        context,
        raw,
        { code: 'key-elsewhere', what: `${key} means nothing for a reading with ${kind}`, todo: 'take it out' },
        [key],
      );
};

const unitOf = (typed: string, context: Context): Unit | undefined => {
  const unit = findUnit(typed);
  if (unit !== undefined) return unit;
  const near = nearestUnit(typed);
  const todo = near === undefined ? 'write a unit such as mm, °, N, in·lb, °C' : `write ${near}`;
  complain(context, typed, { code: 'unit-unknown', what: `the unit ${shown(typed)} is not known`, todo }, ['unit']);
  return undefined;
};

const limitsOf = (typed: string | undefined, unit: Unit, context: Context, key: 'limits' | 'twin') =>
  typed === undefined
    ? undefined
    : take(context, parseLimits(typed, unit === countUnit ? { unit, bare: unit } : { unit }), typed, [key]);

const acceptedOf = (raw: FileReading, choices: readonly string[], context: Context): readonly string[] => {
  const known = new Set(choices);
  for (const [index, accepted] of (raw.accept ?? []).entries())
    if (!known.has(accepted)) {
      const near = choices.length > 100 ? undefined : suggest(accepted, choices);
      const todo = near === undefined ? `accept some of ${listed(choices.slice(0, 8), 'and')}` : `write ${near}`;
      const what = `${shown(accepted)} is not among the choices`;
      complain(context, accepted, { code: 'unknown-value', what, todo }, ['accept', index]);
    }
  return raw.accept ?? choices;
};

const checkDoubles = (names: readonly string[] | undefined, context: Context, key: string): void => {
  const seen = new Set<string>();
  for (const [index, name] of (names ?? []).entries()) {
    if (seen.has(name)) {
      const what = `${shown(name)} stands here twice`;
      complain(context, name, { code: 'duplicate-id', what, todo: 'keep one' }, [key, index]);
    }
    seen.add(name);
  }
};

const toReading = (raw: FileReading, context: Context): Reading => {
  const kind = kindOf(raw, context);
  checkDoubles(raw.positions, context, 'positions');
  checkDoubles(raw.choices, context, 'choices');
  const base = {
    reading: raw.reading,
    ask: raw.ask,
    tool: raw.tool,
    source: raw.source,
    positions: raw.positions ?? [],
    times: raw.times ?? 1,
    tries: raw.tries,
    blind: raw.blind ?? false,
  };
  if (kind === undefined) return z.NEVER;
  checkOwnKeys(raw, kind, context);
  if (kind === 'text') return given({ kind, ...base });
  if (kind === 'count') return given({ kind, ...base, limits: limitsOf(raw.limits, countUnit, context, 'limits') });
  if (kind === 'choices') {
    const choices = raw.choices ?? [];
    return given({ kind: 'choice' as const, ...base, choices, accept: acceptedOf(raw, choices, context) });
  }
  const unit = unitOf(raw.unit ?? '', context);
  if (unit === undefined) return z.NEVER;
  return given({
    kind: 'quantity' as const,
    ...base,
    unit,
    limits: limitsOf(raw.limits, unit, context, 'limits'),
    guarded: raw.decide === 'guarded',
    twin: limitsOf(raw.twin, differenceUnit(unit), context, 'twin'),
  });
};

const schema = z.pipe(file, z.transform(toReading));

const kindFields = (reading: Reading): Group['fields'] => {
  switch (reading.kind) {
    case 'quantity':
      return {
        unit: { is: 'leaf', text: reading.unit.name, value: { as: 'unit', unit: reading.unit } },
        limits: limitsLeaf(reading.limits),
        decide: plain(reading.guarded ? 'guarded' : 'plain'),
        twin: limitsLeaf(reading.twin),
      };
    case 'count':
      return { limits: limitsLeaf(reading.limits) };
    case 'choice':
      return { choices: names(reading.choices), accept: names(reading.accept) };
    case 'text':
      return {};
  }
};

const readingSheet = (reading: Reading): Group =>
  groupField({
    ask: words(reading.ask),
    kind: plain(reading.kind),
    ...kindFields(reading),
    tool: plain(reading.tool),
    source: words(reading.source),
    positions: names(reading.positions),
    times: plain(reading.times),
    tries: triesLeaf(reading.tries),
    blind: plain(reading.blind),
  });

/** A reading's limits may name what stands above it, and the results of its own step. */
const checkReading = (reading: Reading, number: number, resolving: Resolving): void => {
  if (!('limits' in reading)) return;
  const { names: known, index, path } = resolving;
  const own = known.values.named.get(reading.reading)?.rank ?? Infinity;
  const isAbove: IsAbove = (found) =>
    found.step < index || (found.step === index && (found.kind === 'result' || found.rank < own));
  const unit = reading.kind === 'quantity' ? reading.unit : countUnit;
  checkLimits(resolving, reading.limits, [...path, 'readings', number, 'limits'], isAbove, unit);
};

const rekeyed = (reading: Reading, change: IdChange): Reading => ({
  ...reading,
  reading: change.own.value(reading.reading),
  ...('limits' in reading && reading.limits !== undefined ? { limits: change.limits(reading.limits) } : {}),
});

export const writtenReading: WrittenPart<'reading'> = {
  slot: 'readings',
  key: 'readings',
  about: 'Values taken at the bench.',
  hints: {
    reading: 'The id; limits, calculations and conditions name it.',
    ask: 'What is asked at the bench.',
    unit: 'The unit in which it is entered: mm, °, N, in·lb, °C.',
    count: 'true: a whole number of things.',
    text: 'true: text, such as a serial number.',
    choices: 'One of these words.',
    accept: 'Those of the choices that are within.',
    positions: 'A value at each of these: [root, mid, tip].',
    times: 'How many times it is taken; each value is checked.',
    decide: 'guarded: the tool’s uncertainty is kept off the limits.',
    tries: 'at most 2: how often it may be tried.',
    blind: 'true: the limits are shown after the entry.',
    twin: 'The largest difference between the sides: at most 1 °.',
  },
  schema: listSchema(schema),
  faultDepth: 3,
  resolve: (readings, resolving) => {
    for (const [number, reading] of readings.entries()) checkReading(reading, number, resolving);
    return readings;
  },
  sheet: (readings) =>
    listItems(
      'ids',
      readings.map((reading) => ({ id: reading.reading, node: readingSheet(reading) })),
    ),
  rekey: (readings, change) => readings.map((reading) => rekeyed(reading, change)),
  uses: (readings) =>
    readings.map(({ tool }, number) => ({ kind: 'tool', name: tool, path: ['readings', number, 'tool'] })),
  sourced: (readings) =>
    readings.flatMap((reading, number) =>
      'limits' in reading && reading.limits !== undefined
        ? [{ name: reading.reading, source: reading.source, path: ['readings', number, 'limits'] }]
        : [],
    ),
  neverNegative: (readings) =>
    readings.flatMap((reading, number) =>
      reading.kind === 'quantity'
        ? [
            {
              limits: reading.twin,
              path: ['readings', number, 'twin'],
              what: 'a difference between the sides',
              aboveZero: false,
            },
          ]
        : [],
    ),
  isWork: true,
};
