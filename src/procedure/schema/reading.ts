import * as z from 'zod/mini';
import { suggest } from '../../fault/nearest.ts';
import { parseLimits } from '../../quantity/limits.ts';
import { differenceUnit, findUnit, nearestUnit, type Unit } from '../../quantity/units.ts';
import { listed, shown } from '../message.ts';
import type { Reading } from '../model.ts';
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
} from './leaves.ts';

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

/** Keys that mean something for one kind of reading alone. */
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

const tellStrangers = (raw: FileReading, kind: Kind, context: Context): void => {
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

const tellDoubles = (names: readonly string[] | undefined, context: Context, key: string): void => {
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
  tellDoubles(raw.positions, context, 'positions');
  tellDoubles(raw.choices, context, 'choices');
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
  tellStrangers(raw, kind, context);
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

export const reading = z.pipe(file, z.transform(toReading));

const resultFile = z.strictObject({
  result: id,
  calculation: textSchema,
  from: z.record(z.string(), textSchema),
  limits: z.optional(textSchema),
  source: z.optional(textSchema),
});

/** A result whose inputs and limits are still text: what they name, and of what kind it is, shows only in the whole file. */
export const resultSchema = z.pipe(
  resultFile,
  z.transform((raw) => given(raw)),
);
