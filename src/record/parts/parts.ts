import type { PartName } from '../../procedure/model.ts';
import type { RecordStep } from '../document-step.ts';
import { recordedBreak } from './break.ts';
import { recordedCure } from './cure.ts';
import { recordedHold } from './hold.ts';
import { recordedLoose } from './loose.ts';
import { recordedMix } from './mix.ts';
import type { RecordedPart } from './part.ts';
import { recordedPhoto } from './photo.ts';
import { recordedReading } from './reading.ts';
import { recordedResult } from './result.ts';
import { recordedTighten } from './tighten.ts';
import { recordedWait } from './wait.ts';

type PartOfStep = RecordedPart<keyof RecordStep>;

/** Every part that a step may have, as a record holds it. */
export const recordedParts = {
  reading: recordedReading,
  result: recordedResult,
  tighten: recordedTighten,
  mix: recordedMix,
  cure: recordedCure,
  break: recordedBreak,
  hold: recordedHold,
  loose: recordedLoose,
  photo: recordedPhoto,
  wait: recordedWait,
} as const satisfies Readonly<Record<PartName, PartOfStep>>;

/** The same as a list, for what every part answers alike. */
export const eachRecordedPart: readonly PartOfStep[] = Object.values(recordedParts);
