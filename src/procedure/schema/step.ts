import * as z from 'zod/mini';
import type { Result, Step } from '../model.ts';
import { again, holdSchema, looseSchema, photo } from './around.ts';
import { breaking, cure } from './cure.ts';
import { duration, flag, given, id, listSchema, ones, textSchema, textOrList, wholeSchema, word } from './leaves.ts';
import { mixSchema } from './mix.ts';
import { reading, resultSchema } from './reading.ts';
import { tighten, type TightenDraft } from './tighten.ts';

const file = z.strictObject({
  step: id,
  title: textSchema,
  for: z.optional(ones),
  do: z.optional(textSchema),
  why: z.optional(textSchema),
  warning: z.optional(textOrList),
  caution: z.optional(textOrList),
  note: z.optional(textOrList),
  say: z.optional(textSchema),
  takes: z.optional(duration),
  wait: z.optional(duration),
  people: z.optional(wholeSchema),
  place: z.optional(textSchema),
  critical: z.optional(flag),
  'only-if': z.optional(z.strictObject({ reading: textSchema, is: textSchema })),
  permanent: z.optional(flag),
  sets: z.optional(listSchema(word)),
  proves: z.optional(listSchema(word)),
  'relies-on': z.optional(listSchema(word)),
  covers: z.optional(listSchema(word)),
  uncovers: z.optional(listSchema(word)),
  reaches: z.optional(listSchema(word)),
  gate: z.optional(word),
  'in-pot-life-of': z.optional(textOrList),
  'after-stage': z.optional(z.strictObject({ cure: textOrList, stage: textSchema })),
  'back-to': z.optional(textSchema),
  again: z.optional(again),
  readings: z.optional(listSchema(reading)),
  results: z.optional(listSchema(resultSchema)),
  tighten: z.optional(tighten),
  mix: z.optional(mixSchema),
  cure: z.optional(cure),
  break: z.optional(breaking),
  hold: z.optional(holdSchema),
  loose: z.optional(listSchema(looseSchema)),
  closes: z.optional(listSchema(word)),
  photo: z.optional(listSchema(photo)),
});

type FileStep = z.output<typeof file>;

export type ResultDraft = Omit<Result, 'from' | 'limits'> & {
  readonly from: Readonly<Record<string, string>>;
  readonly limits?: string;
};

/** A step in which what names a reading is still text. */
export type StepDraft = Omit<Step, 'onlyIf' | 'results' | 'tighten'> & {
  readonly onlyIf?: { readonly reading: string; readonly is: string };
  readonly results: readonly ResultDraft[];
  readonly tighten?: TightenDraft;
};

const none: readonly never[] = Object.freeze([]);

const words = (raw: FileStep) => ({
  title: raw.title,
  do: raw.do,
  why: raw.why,
  warnings: raw.warning ?? none,
  cautions: raw.caution ?? none,
  notes: raw.note ?? none,
  say: raw.say,
});

const circumstances = (raw: FileStep) => ({
  takes: raw.takes,
  wait: raw.wait,
  people: raw.people,
  place: raw.place,
  critical: raw.critical ?? false,
  onlyIf: raw['only-if'],
  inPotLifeOf: raw['in-pot-life-of'] ?? none,
  afterStage: raw['after-stage'] && { cures: raw['after-stage'].cure, stage: raw['after-stage'].stage },
  backTo: raw['back-to'],
  again: raw.again,
});

const features = (raw: FileStep) => ({
  permanent: raw.permanent ?? false,
  sets: raw.sets ?? none,
  proves: raw.proves ?? none,
  reliesOn: raw['relies-on'] ?? none,
  covers: raw.covers ?? none,
  uncovers: raw.uncovers ?? none,
  reaches: raw.reaches ?? none,
  gate: raw.gate,
});

const parts = (raw: FileStep) => ({
  readings: raw.readings ?? none,
  results: raw.results ?? none,
  tighten: raw.tighten,
  mix: raw.mix,
  cure: raw.cure,
  break: raw.break,
  hold: raw.hold,
  loose: raw.loose ?? none,
  closes: raw.closes ?? none,
  photos: raw.photo ?? none,
});

const toStep = (raw: FileStep): StepDraft =>
  given({
    step: raw.step,
    base: raw.step,
    for: raw.for ?? none,
    ...words(raw),
    ...circumstances(raw),
    ...features(raw),
    ...parts(raw),
  });

export const step = z.pipe(file, z.transform(toStep));
