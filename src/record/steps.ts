import type { Surroundings } from '../job/surroundings.ts';
import type { JobState, Photo } from '../job/state.ts';
import { stepApplies, stepStateOf } from '../job/step-state.ts';
import type { Step } from '../procedure/model.ts';
import { cureRecorded } from './cures.ts';
import type { RecordPhoto, RecordStep } from './document-step.ts';
import { holdRecorded } from './holds.ts';
import { mixRecorded } from './mixes.ts';
import { ifSo, present, recordStampOf, unlessEmpty } from './plain.ts';
import { recordReadingOf, resultRecorded } from './readings.ts';
import { tightenRecorded } from './tighten.ts';

const photoOf = (photo: Photo, step?: Step): RecordPhoto => {
  const asked = step?.photos.find((one) => one.photo === photo.photo);
  return present({
    photo: photo.photo,
    show: asked?.show,
    from: asked?.from,
    sha256: photo.sha256,
    file: photo.file,
    ...recordStampOf(photo),
    'set-aside': photo.superseded,
  });
};

/** The pictures of a step; without a step, those that belong to none. */
export const photosOf = (job: JobState, step?: Step): readonly RecordPhoto[] =>
  job.photos.filter((photo) => photo.step === step?.step).map((photo) => photoOf(photo, step));

const stateOf = (job: JobState, step: Step): RecordStep['state'] => {
  const { state } = stepStateOf(job, step.step);
  if (state === 'done') return 'finished';
  if (state === 'skipped') return 'left for later';
  return stepApplies(job, step) ? 'open' : 'did not apply';
};

/** What the procedure says of the step. */
const asked = (step: Step) =>
  present({
    step: step.step,
    title: step.title,
    do: step.do,
    say: step.say,
    warnings: unlessEmpty(step.warnings),
    cautions: unlessEmpty(step.cautions),
    notes: unlessEmpty(step.notes),
    critical: ifSo(step.critical),
    permanent: ifSo(step.permanent),
    sets: unlessEmpty(step.sets),
    proves: unlessEmpty(step.proves),
    'relies-on': unlessEmpty(step.reliesOn),
    covers: unlessEmpty(step.covers),
    uncovers: unlessEmpty(step.uncovers),
    gate: step.gate,
    people: step.people,
    place: step.place,
    wait: step.wait?.text,
    'only-if': step.onlyIf && `${step.onlyIf.reading} is ${step.onlyIf.is.text}`,
    'in-pot-life-of': unlessEmpty(step.inPotLifeOf),
    'after-stage': step.afterStage,
    closes: unlessEmpty(step.closes),
  });

/** Who began, finished, skipped and reopened it. */
const walked = (job: JobState, step: Step) => {
  const { begun, finished, skip, reopened, with: helpers, performers } = stepStateOf(job, step.step);
  return present({
    state: stateOf(job, step),
    begun: begun && present({ ...recordStampOf(begun), implied: ifSo(!begun.explicit) }),
    finished: finished && recordStampOf(finished),
    skipped: skip && { because: skip.because, before: skip.before, tag: skip.tag, ...recordStampOf(skip) },
    reopened: unlessEmpty(reopened.map((one) => ({ because: one.because, ...recordStampOf(one) }))),
    with: helpers,
    performers,
  });
};

/** One step with all its parts; `number` is its place in the procedure, from 1. */
export const stepRecorded = (job: JobState, step: Step, number: number, around: Surroundings): RecordStep => ({
  number,
  ...asked(step),
  ...walked(job, step),
  ...present({
    readings: unlessEmpty(step.readings.map((reading) => recordReadingOf(job, reading, around))),
    results: unlessEmpty(step.results.map((result) => resultRecorded(job, result))),
    tighten: step.tighten && tightenRecorded(job, step, step.tighten),
    mix: step.mix && mixRecorded(job, step, step.mix, around),
    cure: step.cure && cureRecorded(job, step, step.cure, around),
    break: step.break && present({ of: step.break.of, 'not-before': step.break.notBefore }),
    hold: step.hold && holdRecorded(job, step, step.hold, around),
    photos: unlessEmpty(photosOf(job, step)),
  }),
});
