import { own } from '../../fault/own.ts';
import type { JobState } from '../../job/state.ts';
import { allLatest, currentTries, hasTryLeft, slotsOf, type Slot } from '../../job/values.ts';
import { ownVerdict } from '../../job/parts/reading.ts';
import type { Reading } from '../../procedure/model.ts';
import { readingOf } from '../../procedure/plan.ts';
import { slotLabel } from '../../job/labels.ts';
import type { Form, Question } from '../session/form.ts';
import { correctItem, formItem, type MenuItem } from '../session/menu/item.ts';
import { valueRow } from '../view/value-row.ts';
import type { BenchPart } from './part.ts';
import { readingSaid, readingWork } from './reading-rows.ts';

const valueQuestion = (reading: Reading, slot: Slot): Question => {
  const base = { name: 'value', ask: slotLabel(reading, slot), required: true } as const;
  if (reading.kind === 'quantity') return { ...base, kind: 'quantity', unit: reading.unit.name };
  if (reading.kind === 'count') return { ...base, kind: 'whole' };
  if (reading.kind === 'choice')
    return { ...base, kind: 'choice', choices: reading.choices.map((value) => ({ value, label: value })) };
  return { ...base, kind: 'text' };
};

const reasonQuestion: Question = { name: 'reason', ask: 'Why is it taken again?', kind: 'text', required: true };

/** A value at one slot. From the second try on its reason is asked too. */
const readingForm = (job: JobState, reading: Reading, slot: Slot): Form => {
  const tries = currentTries(job, reading.reading, slot);
  const { position, n } = slot;
  return {
    key: `read ${job.id} ${reading.reading} ${position ?? ''} ${n} ${tries.length}`,
    title: slotLabel(reading, slot),
    about: [],
    verb: 'read',
    job: job.id,
    fixed: {
      reading: reading.reading,
      ...(position === undefined ? {} : { position }),
      ...(reading.times > 1 ? { n } : {}),
    },
    questions: [valueQuestion(reading, slot), ...(tries.length > 0 ? [reasonQuestion] : [])],
    subject: { part: 'reading', reading, slot },
  };
};

/** Another try of each value of a step, also of one that is within its limits. */
export const readingAgainItems = (job: JobState, readings: readonly Reading[]): readonly MenuItem[] =>
  readings.flatMap((reading) =>
    slotsOf(reading)
      .filter((slot) => currentTries(job, reading.reading, slot).length > 0)
      .map((slot) => formItem(slotLabel(reading, slot), readingForm(job, reading, slot))),
  );

const corrections = (job: JobState): readonly MenuItem[] =>
  job.plan.steps.flatMap((step) =>
    step.readings.flatMap((reading) =>
      allLatest(job, reading).map((taken) =>
        correctItem(
          job,
          taken.entry,
          slotLabel(reading, taken),
          taken.value,
          reading.kind === 'quantity' ? reading.unit.name : undefined,
        ),
      ),
    ),
  );

export const readingPart = {
  ask: (job, step, { reading, slot }) => ({
    kind: 'question',
    step,
    form: readingForm(job, reading, slot),
    beneath: 'step',
  }),
  work: readingWork,
  said: readingSaid,
  values: ({ job }, step, sized) =>
    step.readings.flatMap((reading) =>
      allLatest(job, reading).map((taken) =>
        valueRow(
          slotLabel(reading, taken),
          taken.value,
          ownVerdict(job, reading, taken),
          sized,
          taken.calculated && 'calculated',
        ),
      ),
    ),
  again: (job, _step, trouble) => {
    const reading = readingOf(job.plan, trouble.on)?.reading;
    // The key of a trouble begins with the entry of the try that it is about.
    const slot = (own(job.tries, trouble.on) ?? []).find(({ entry }) => trouble.key.startsWith(`${entry}=`));
    return reading && slot && hasTryLeft(job, reading, slot) ? readingForm(job, reading, slot) : undefined;
  },
  corrections,
} satisfies BenchPart<'reading'>;
