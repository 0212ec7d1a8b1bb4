import * as z from 'zod/mini';
import { writtenParts } from '../parts/parts.ts';
import type { StepDraft } from '../step-draft.ts';
import { again } from './again.ts';
import { duration, flag, given, id, listSchema, ones, textSchema, textOrList, wholeSchema, word } from './leaves.ts';

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
  wait: z.optional(writtenParts.wait.schema),
  'no-later-than': z.optional(z.strictObject({ after: textOrList, time: duration })),
  people: z.optional(wholeSchema),
  materials: z.optional(listSchema(word)),
  parts: z.optional(listSchema(textSchema)),
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
  readings: z.optional(writtenParts.reading.schema),
  results: z.optional(writtenParts.result.schema),
  tighten: z.optional(writtenParts.tighten.schema),
  mix: z.optional(writtenParts.mix.schema),
  cure: z.optional(writtenParts.cure.schema),
  break: z.optional(writtenParts.break.schema),
  hold: z.optional(writtenParts.hold.schema),
  loose: z.optional(writtenParts.loose.schema),
  closes: z.optional(listSchema(word)),
  photo: z.optional(writtenParts.photo.schema),
});

type FileStep = z.output<typeof file>;

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
  noLaterThan: raw['no-later-than'],
  people: raw.people,
  materials: raw.materials ?? none,
  parts: raw.parts ?? none,
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
