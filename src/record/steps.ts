import { withoutKey, type GateSheet } from '../job/gate-sheet.ts';
import type { JobState } from '../job/state.ts';
import { idsOrNames } from '../job/people.ts';
import type { Surroundings } from '../job/surroundings.ts';
import { isNotDone, stepApplies, stepStateOf } from '../job/step-state.ts';
import type { Step } from '../procedure/model.ts';
import type { RecordStep } from './document-step.ts';
import { recordedParts } from './parts/parts.ts';
import { takenOf } from './taken.ts';
import { ifSo, present, presentOf, recordStampOf, unlessEmpty } from './plain.ts';

const stateOf = (job: JobState, step: Step): RecordStep['state'] => {
  const { state } = stepStateOf(job, step.step);
  if (state === 'done') return 'finished';
  if (state === 'skipped') return isNotDone(job, step) ? 'not done' : 'left for later';
  return stepApplies(job, step) ? 'open' : 'did not apply';
};

const gateRecorded = ({ open, excepted }: GateSheet): RecordStep['gate-sheet'] => ({
  open: open.map(withoutKey),
  excepted: excepted.map(withoutKey),
});

/**
 * One step with all its parts; `number` is its place in the procedure, from 1, and `notIn` the revision that no longer has it.
 * The keys of a recorded step are in the order in which they are named here.
 */
export const stepRecorded = (
  job: JobState,
  step: Step,
  number: number,
  around: Surroundings,
  notIn?: string,
): RecordStep => {
  const { ahead, begun, finished, skip, reopened, with: helpers, performers } = stepStateOf(job, step.step);
  const people = Object.values(around.people);
  const { reading, result, tighten, mix, cure, break: sample, hold, loose, photo, wait } = recordedParts;
  return presentOf<RecordStep>({
    number,
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
    ...takenOf(job, step),
    wait: wait.write(job, step, around),
    'no-later-than':
      step.noLaterThan && `begun within ${step.noLaterThan.time.text} of ${step.noLaterThan.after.join(', ')}`,
    'only-if': step.onlyIf && `${step.onlyIf.reading} is ${step.onlyIf.is.text}`,
    'in-pot-life-of': unlessEmpty(step.inPotLifeOf),
    'after-stage': step.afterStage,
    closes: loose.write(job, step, around),
    state: stateOf(job, step),
    'shown-before': ahead && { shown: ahead.shown, ...recordStampOf(ahead) },
    begun: begun && present({ ...recordStampOf(begun), implied: ifSo(!begun.explicit) }),
    finished: finished && present({ ...recordStampOf(finished), reason: finished.reason }),
    'gate-sheet': finished?.sheet && gateRecorded(finished.sheet),
    skipped: skip && {
      because: skip.because,
      before: skip.before,
      tag: skip.tag,
      ...recordStampOf(skip),
      ...(skip.notDone ? { 'not-done': { because: skip.notDone.because, ...recordStampOf(skip.notDone) } } : {}),
    },
    reopened: unlessEmpty(reopened.map((one) => ({ because: one.because, ...recordStampOf(one) }))),
    with: idsOrNames(people, helpers),
    performers: idsOrNames(people, performers),
    readings: reading.write(job, step, around),
    results: result.write(job, step, around),
    tighten: tighten.write(job, step, around),
    mix: mix.write(job, step, around),
    cure: cure.write(job, step, around),
    break: sample.write(job, step, around),
    hold: hold.write(job, step, around),
    photos: photo.write(job, step, around),
    'not-in': notIn,
  });
};
