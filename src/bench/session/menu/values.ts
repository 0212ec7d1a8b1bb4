import { allLatest, currentTries, slotsOf } from '../../../job/values.ts';
import type { JobState } from '../../../job/state.ts';
import { currentStep } from '../../../job/where.ts';
import type { BenchFacts } from '../../ports.ts';
import { spokenTime } from '../../drawing/clock.ts';
import { readingForm, slotWords } from '../part-forms.ts';
import { calculators, formOf, group, item, look, askText, type MenuItem } from './item.ts';

const reasonFor = askText('reason', 'Why: what was wrong with it');

const correctItem = (
  job: JobState,
  entry: string,
  label: string,
  value: string,
  unit?: string,
  field?: string,
): MenuItem =>
  item(
    label,
    formOf('correct', job.id, {
      title: `Correct ${label}`,
      about: [`Entered: ${value}. It stays readable, struck.`],
      fixed: { entry },
      questions: [
        {
          name: field === undefined ? 'value' : `value.${field}`,
          ask: 'What should have been entered',
          kind: unit === undefined ? 'text' : 'quantity',
          required: true,
          ...(unit === undefined ? {} : { unit }),
        },
        reasonFor,
      ],
    }),
    value,
  );

const correctReadings = (job: JobState): readonly MenuItem[] =>
  job.plan.steps.flatMap((step) =>
    step.readings.flatMap((reading) =>
      allLatest(job, reading).map((taken) =>
        correctItem(
          job,
          taken.entry,
          [reading.reading, slotWords(reading, taken)].filter((part) => part !== '').join(' '),
          taken.value,
          reading.kind === 'quantity' ? reading.unit.name : undefined,
        ),
      ),
    ),
  );

const fields = [
  ['torque', 'torque'],
  ['finger-tight', 'fingerTight'],
  ['past', 'past'],
  ['drag', 'drag'],
] as const;

const correctFasteners = (job: JobState): readonly MenuItem[] =>
  Object.entries(job.fasteners).flatMap(([step, acts]) =>
    acts
      .filter((act) => act.superseded === undefined)
      .flatMap((act) =>
        fields.flatMap(([name, key]) => {
          const value = act[key];
          return value === undefined
            ? []
            : [correctItem(job, act.entry, `${step} ${act.fastener} ${name}`, value, undefined, name)];
        }),
      ),
  );

const correctBatches = (job: JobState): readonly MenuItem[] =>
  job.batches
    .filter((batch) => batch.superseded === undefined)
    .flatMap((batch) =>
      Object.entries(batch.weights).map(([part, value]) =>
        correctItem(job, batch.entry, `${batch.batch} ${part}`, value, undefined, part),
      ),
    );

/** How many of the latest temperatures of each place are offered. */
const latest = 9;

const correctTemperatures = (facts: BenchFacts, job: JobState): readonly MenuItem[] =>
  Object.entries(facts.build.temperatures).flatMap(([place, marks]) =>
    marks
      .slice(-latest)
      .map((mark) =>
        correctItem(
          job,
          mark.entry,
          `temperature${place === '' ? '' : ` ${place}`}, ${spokenTime(mark.ms, facts.now.ms, facts.now.offset)}`,
          mark.temperature,
          '°C',
        ),
      ),
  );

/** An import is struck whole: its file may be imported again for another place, or in another way. */
const strikeLogs = (facts: BenchFacts, job: JobState): readonly MenuItem[] =>
  Object.entries(facts.build.logs).flatMap(([place, marks]) =>
    marks
      .filter((mark) => mark.struck === undefined)
      .slice(-latest)
      .map((mark) =>
        item(
          `log ${mark.file}${place === '' ? '' : ` ${place}`}`,
          formOf('correct', job.id, {
            title: `Strike ${mark.file}`,
            about: [`${mark.count} rows. They count for nothing from here on; the file stays.`],
            fixed: { entry: mark.entry, value: 'none' },
            questions: [reasonFor],
          }),
          `${mark.count} rows`,
        ),
      ),
  );

/** Newest first: a slip is mostly noticed at once. */
export const correctItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] =>
  [
    ...correctTemperatures(facts, job),
    ...correctReadings(job),
    ...correctFasteners(job),
    ...correctBatches(job),
    ...strikeLogs(facts, job),
  ].toReversed();

/** Another try of a value of the open step, also of one that is within: with its reason. */
export const againItems = (job: JobState): readonly MenuItem[] =>
  (currentStep(job)?.readings ?? []).flatMap((reading) =>
    slotsOf(reading)
      .filter((slot) => currentTries(job, reading.reading, slot).length > 0)
      .map((slot) => {
        const form = readingForm(job, reading, slot);
        return item(form.title, { kind: 'form', form: { ...form, key: `menu ${form.key}` } });
      }),
  );

export const valueItems = (): readonly MenuItem[] => [
  group('correct a value', 'correct', 'a slip of the finger'),
  group('take a value again', 'again', 'another try'),
  look('values so far', 'values'),
  calculators,
];
