import * as z from 'zod/mini';
import type { Result, Step } from '../model.ts';
import { again, hold, loose, photo } from './around.ts';
import { breaking, cure } from './cure.ts';
import { duration, flag, given, id, list, ones, text, textOrList, whole, word } from './leaves.ts';
import { mix } from './mix.ts';
import { reading, result } from './reading.ts';
import { tighten, type TightenDraft } from './tighten.ts';

const file = z.strictObject({
  step: id,
  title: text,
  for: z.optional(ones),
  do: z.optional(text),
  why: z.optional(text),
  warning: z.optional(textOrList),
  caution: z.optional(textOrList),
  note: z.optional(textOrList),
  say: z.optional(text),
  takes: z.optional(duration),
  wait: z.optional(duration),
  people: z.optional(whole),
  place: z.optional(text),
  critical: z.optional(flag),
  'only-if': z.optional(z.strictObject({ reading: text, is: text })),
  permanent: z.optional(flag),
  sets: z.optional(list(word)),
  proves: z.optional(list(word)),
  'relies-on': z.optional(list(word)),
  covers: z.optional(list(word)),
  uncovers: z.optional(list(word)),
  reaches: z.optional(list(word)),
  gate: z.optional(word),
  'in-pot-life-of': z.optional(textOrList),
  'after-stage': z.optional(z.strictObject({ cure: textOrList, stage: text })),
  'back-to': z.optional(text),
  again: z.optional(again),
  readings: z.optional(list(reading)),
  results: z.optional(list(result)),
  tighten: z.optional(tighten),
  mix: z.optional(mix),
  cure: z.optional(cure),
  break: z.optional(breaking),
  hold: z.optional(hold),
  loose: z.optional(list(loose)),
  closes: z.optional(list(word)),
  photo: z.optional(list(photo)),
});

type FileStep = z.output<typeof file>;

export type ResultDraft = Omit<Result, 'with' | 'limits'> & {
  readonly with: Readonly<Record<string, string>>;
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
