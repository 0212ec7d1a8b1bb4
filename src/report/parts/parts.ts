import type { PartName } from '../../procedure/model.ts';
import type { RecordStep } from '../../record/document-step.ts';
import type { Naming } from '../people.ts';
import type { Block } from '../sheet.ts';
import { printedBreak } from './break.ts';
import { printedCure } from './cure.ts';
import { printedHold } from './hold.ts';
import { printedMix } from './mix.ts';
import type { PrintedPart } from './part.ts';
import { printedPhoto } from './photo.ts';
import { printedReading } from './reading.ts';
import { printedResult } from './result.ts';
import { printedTighten } from './tighten.ts';

/** Of these a record says one line only; it is printed among the facts at the head of the step. */
type PrintedInHead = 'wait' | 'loose';

/** Every other part, in the order in which a step prints them. */
const printedParts: Readonly<Record<Exclude<PartName, PrintedInHead>, PrintedPart>> = {
  reading: printedReading,
  result: printedResult,
  tighten: printedTighten,
  mix: printedMix,
  cure: printedCure,
  break: printedBreak,
  hold: printedHold,
  photo: printedPhoto,
};

export const partBlocks = (step: RecordStep, naming: Naming): readonly Block[] =>
  Object.values(printedParts).flatMap((part) => part(step, naming));
