import type { IdChange } from '../id-change.ts';
import type { PartIn, PartName, PartSlots, Step } from '../model.ts';
import type { Resolving } from '../resolving.ts';
import type { Node } from '../compare/sheet.ts';
import { writtenBreak } from './break.ts';
import { writtenCure } from './cure.ts';
import { writtenHold } from './hold.ts';
import { writtenLoose } from './loose.ts';
import { writtenMix } from './mix.ts';
import type { NeverNegative, Sourced, Used, WrittenPart } from './part.ts';
import { writtenPhoto } from './photo.ts';
import { writtenReading } from './reading.ts';
import { writtenResult } from './result.ts';
import { writtenTighten } from './tighten.ts';
import { writtenWait } from './wait.ts';

/** Every part that a step may have, as a procedure file has it. */
export const writtenParts: { readonly [P in PartName]: WrittenPart<P> } = {
  reading: writtenReading,
  result: writtenResult,
  tighten: writtenTighten,
  mix: writtenMix,
  cure: writtenCure,
  break: writtenBreak,
  hold: writtenHold,
  loose: writtenLoose,
  photo: writtenPhoto,
  wait: writtenWait,
};

/** The same as a list, for what every part answers alike. */
const everyPart: readonly WrittenPart<PartName>[] = Object.values(writtenParts);

type Held = NonNullable<PartIn<PartName>>;

/** What every part of a step answers, one after the other. */
const ofEach = <T>(
  step: Step,
  ask: (part: WrittenPart<PartName>, held: Held) => readonly T[] | undefined,
): readonly T[] =>
  everyPart.flatMap((part) => {
    const held = step[part.slot];
    return (held === undefined ? undefined : ask(part, held)) ?? [];
  });

/** The tools and materials that one part of a step uses. */
export const usesOfPart = (name: PartName, step: Step): readonly Used[] => {
  const part: WrittenPart<PartName> = writtenParts[name];
  const held = step[part.slot];
  return (held && part.uses?.(held)) ?? [];
};

/** The tools and materials that a step uses, and the parts that go in there. */
export const usesOf = (step: Step): readonly Used[] => [
  ...ofEach(step, (part, held) => part.uses?.(held)),
  ...step.materials.map((name, index): Used => ({ kind: 'material', name, path: ['materials', index] })),
  ...step.parts.map((name, index): Used => ({ kind: 'part', name, path: ['parts', index] })),
];

/** Everything in a step that should name the source of its limits. */
export const sourcedOf = (step: Step): readonly Sourced[] => ofEach(step, (part, held) => part.sourced?.(held));

/** The limits of a step on what is never below zero. */
export const neverNegativeOf = (step: Step): readonly NeverNegative[] =>
  ofEach(step, (part, held) => part.neverNegative?.(held));

/** Whether a hold has something to look at in its own step. */
export const hasWork = (step: Step): boolean =>
  everyPart.some(({ isWork, slot }) => {
    const held = step[slot];
    return isWork && held !== undefined && !(Array.isArray(held) && held.length === 0);
  });

/** One part of a step laid out for comparison. */
export const partSheet = (name: PartName, step: Step): Node | undefined => {
  const part: WrittenPart<PartName> = writtenParts[name];
  const held = step[part.slot];
  return held === undefined ? undefined : part.sheet(held);
};

/** Every part of a step, each in its slot. */
type Parts = { readonly [P in PartName as PartSlots[P]]: PartIn<P> };

/** The parts of a step with their ids changed. */
export const rekeyedParts = (step: Step, change: IdChange): Parts => {
  const rekeyed = <P extends PartName>(name: P): PartIn<P> => {
    const { slot, rekey }: WrittenPart<P> = writtenParts[name];
    const held = step[slot];
    return held === undefined || rekey === undefined ? held : rekey(held, change);
  };
  return {
    readings: rekeyed('reading'),
    results: rekeyed('result'),
    tighten: rekeyed('tighten'),
    mix: rekeyed('mix'),
    cure: rekeyed('cure'),
    break: rekeyed('break'),
    hold: rekeyed('hold'),
    loose: rekeyed('loose'),
    photos: rekeyed('photo'),
    wait: rekeyed('wait'),
  };
};

/** The parts of a step with everything that they name looked up. */
export const resolvedParts = (resolving: Resolving): Parts => {
  const resolved = <P extends PartName>(name: P): PartIn<P> => {
    const { slot, resolve }: WrittenPart<P> = writtenParts[name];
    const held = resolving.draft[slot];
    // Only a slot that may be empty holds nothing.
    return held === undefined ? (undefined as PartIn<P>) : resolve(held, resolving);
  };
  return {
    // Results come first: their units say how limits that name them are read.
    results: resolved('result'),
    readings: resolved('reading'),
    tighten: resolved('tighten'),
    mix: resolved('mix'),
    cure: resolved('cure'),
    break: resolved('break'),
    hold: resolved('hold'),
    loose: resolved('loose'),
    photos: resolved('photo'),
    wait: resolved('wait'),
  };
};
