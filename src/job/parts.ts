import type { Reading, Step } from '../procedure/model.ts';
import { standingRelease, wasInvited } from './hold.ts';
import { goodBatches } from './potlife.ts';
import type { JobState } from './state.ts';
import { limitsWaitFor, latestTry, ownLimits, resultNow, slotsOf } from './values.ts';
import { fastenerNow } from './verdicts.ts';

export type PartKind =
  'reading' | 'result' | 'tighten' | 'mix' | 'break' | 'hold' | 'invite' | 'loose' | 'close' | 'photo';

export interface MissingPart {
  readonly part: PartKind;
  readonly id: string;
  /** For a person: `gap at root`. */
  readonly what: string;
}

const missingSlots = (job: JobState, reading: Reading): readonly MissingPart[] =>
  slotsOf(reading)
    .filter((slot) => latestTry(job, reading.reading, slot) === undefined)
    .map((slot) => ({
      part: 'reading' as const,
      id: reading.reading,
      what: `${reading.reading}${slot.position === undefined ? '' : ` at ${slot.position}`}${reading.times > 1 ? `, time ${slot.n}` : ''}`,
    }));

const readingParts = (job: JobState, step: Step): readonly MissingPart[] =>
  step.readings.flatMap((reading) => {
    const missing = missingSlots(job, reading);
    const limits = ownLimits(reading);
    const waits = missing.length === 0 && limits ? limitsWaitFor(job, limits) : [];
    return [
      ...missing,
      ...waits.map((id) => ({
        part: 'reading' as const,
        id,
        what: `${id}, which the limits of ${reading.reading} need`,
      })),
    ];
  });

const resultParts = (job: JobState, step: Step): readonly MissingPart[] =>
  step.results.flatMap((result) => {
    const now = resultNow(job, result.result);
    return now?.quantity
      ? []
      : [{ part: 'result' as const, id: result.result, what: `${result.result}${now?.why ? `: ${now.why}` : ''}` }];
  });

/** What one fastener still wants. */
export const fastenerMissing = (job: JobState, step: Step, fastener: number): readonly string[] => {
  const tighten = step.tighten;
  if (!tighten) return [];
  const now = fastenerNow(job, step.step, fastener);
  return [
    ...(tighten.torque && now?.torque === undefined ? ['torque'] : []),
    ...(tighten.fingerTight && now?.fingerTight === undefined ? ['turns by hand'] : []),
    ...(tighten.past && now?.past === undefined ? ['turns past finger-tight'] : []),
    ...(tighten.mark && now?.mark !== true ? ['mark'] : []),
  ];
};

const fastenerParts = (job: JobState, step: Step): readonly MissingPart[] =>
  (step.tighten?.order ?? []).flatMap((fastener) => {
    const missing = fastenerMissing(job, step, fastener);
    return missing.length === 0
      ? []
      : [{ part: 'tighten' as const, id: String(fastener), what: `fastener ${fastener}: ${missing.join(', ')}` }];
  });

const mixParts = (job: JobState, step: Step): readonly MissingPart[] =>
  step.mix && goodBatches(job, [step.step]).length === 0
    ? [{ part: 'mix', id: step.step, what: `a batch of ${step.mix.material} in its ratio` }]
    : [];

const breakParts = (job: JobState, step: Step): readonly MissingPart[] =>
  step.break
    ? goodBatches(job, step.break.of)
        .filter((batch) => batch.sample && !batch.sample.broken)
        .map((batch) => ({
          part: 'break' as const,
          id: batch.batch,
          what: `the sample ${batch.sample?.id ?? ''} of ${batch.batch}, broken`,
        }))
    : [];

/** A witness point wants its invitation, unless somebody came; a hold's release is told by `hold-closed` instead. */
const witnessParts = (job: JobState, step: Step): readonly MissingPart[] =>
  step.hold?.kind === 'witness' && !wasInvited(job, step.step) && !standingRelease(job, step.step)
    ? [{ part: 'invite', id: step.step, what: 'an invitation to the witness' }]
    : [];

const looseParts = (job: JobState, step: Step): readonly MissingPart[] => [
  ...step.loose
    .filter(
      (part) =>
        !job.loose.some((item) => item.item === part.item && item.step === step.step && item.superseded === undefined),
    )
    .map((part) => ({ part: 'loose' as const, id: part.item, what: `${part.item} left ${part.left}, counted` })),
  ...step.closes
    .filter(
      (item) =>
        !job.closings.some(
          (closing) => closing.item === item && closing.left === 0 && closing.superseded === undefined,
        ),
    )
    .map((item) => ({ part: 'close' as const, id: item, what: `${item} closed, counted` })),
];

const photoParts = (job: JobState, step: Step): readonly MissingPart[] =>
  step.photos
    .filter((part) => !job.photos.some((photo) => photo.photo === part.photo && photo.superseded === undefined))
    .map((part) => ({ part: 'photo' as const, id: part.photo, what: `a picture: ${part.show}` }));

/** What a step still wants before it can be finished, in the order in which a person would do it. */
export const partsMissing = (job: JobState, step: Step): readonly MissingPart[] => [
  ...readingParts(job, step),
  ...resultParts(job, step),
  ...fastenerParts(job, step),
  ...mixParts(job, step),
  ...breakParts(job, step),
  ...witnessParts(job, step),
  ...looseParts(job, step),
  ...photoParts(job, step),
];
