import type { JobState } from '../../../job/state.ts';
import { currentStep } from '../../../job/where.ts';
import type { BenchFacts } from '../../ports.ts';
import type { Choice } from '../form.ts';
import { breakForm, lotForm, samplesToBreak, shopForm, temperatureForm } from '../part-forms.ts';
import { anotherCupItems, discardItem } from './glue.ts';
import { choice, formOf, item, askText, type MenuItem } from './item.ts';
import { own } from '../../../fault/own.ts';

export const temperatureItem = (job: JobState | undefined): MenuItem => {
  const place = job && currentStep(job)?.place;
  return item('temperature', {
    kind: 'form',
    form: { ...temperatureForm(job?.id ?? '', place), key: 'menu temperature' },
  });
};

/** A logger's file; a question that the file does not answer is asked in the words of the refusal, and answered here. */
export const logItem = (job: JobState | undefined): MenuItem => {
  const place = job && currentStep(job)?.place;
  return item(
    'temperatures from a logger',
    formOf('temperatures', '', {
      title: 'Temperatures from a logger',
      about: ['Its CSV file, whole or not at all; it is kept with the build.'],
      fixed: place === undefined ? {} : { place },
      questions: [
        askText('file', 'The file, its path'),
        ...(place === undefined ? [askText('place', 'Where it lay, if the build names places', false)] : []),
        askText('column', 'Which column, if there are several temperatures', false),
        askText('unit', 'The unit, if the file has none: C, F or K', false),
        askText('offset', 'How its clock stood, if that is not as here: +01:00', false),
      ],
    }),
    'a CSV file',
  );
};

const toolChoices = (facts: BenchFacts, kind?: string): readonly Choice[] =>
  facts.build.file.tools
    .filter((tool) => kind === undefined || tool.kind === kind)
    .map((tool) => ({ value: tool.tool, label: tool.tool, aside: tool.kind }));

export const foundItems = (facts: BenchFacts): readonly MenuItem[] =>
  toolChoices(facts).length === 0
    ? []
    : [
        item(
          'a tool was dropped, or found wrong',
          formOf('tool', '', {
            title: 'What became of a tool',
            about: ['Dropped or wrong: it is not used again until it was checked.'],
            questions: [
              choice('tool', 'Which tool', toolChoices(facts)),
              choice('found', 'What', [
                { value: 'dropped', label: 'dropped' },
                { value: 'wrong', label: 'found wrong' },
                { value: 'checked', label: 'checked, and right' },
              ]),
            ],
          }),
        ),
      ];

export const toolItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] =>
  job.plan.gather.tools
    .filter((need) => toolChoices(facts, need.tool).length > 0)
    .map((need) =>
      item(
        `use: ${need.title ?? need.tool}`,
        formOf('use', job.id, {
          title: `Which ${need.title ?? need.tool}`,
          fixed: { kind: need.tool },
          questions: [choice('tool', 'In use from here on', toolChoices(facts, need.tool))],
        }),
        own(job.tools, need.tool),
      ),
    );

export const lotItems = (job: JobState): readonly MenuItem[] =>
  job.plan.gather.materials.map((need) => {
    const form = lotForm(job, need.material, need);
    const now = job.lots.findLast((lot) => lot.material === need.material)?.number;
    return item(
      `lot: ${need.title ?? need.material}`,
      { kind: 'form', form: { ...form, key: `menu ${form.key}` } },
      now,
    );
  });

export const shopItem = (job: JobState): MenuItem =>
  item('the shop now', { kind: 'form', form: { ...shopForm(job), key: `menu shop ${job.id}` } });

export const batchItems = (job: JobState): readonly MenuItem[] => [
  ...samplesToBreak(job).flatMap((batch) => {
    const form = breakForm(job, batch);
    return form
      ? [item(`break the sample of ${batch}`, { kind: 'form', form: { ...form, key: `menu ${form.key}` } })]
      : [];
  }),
  ...job.batches
    .filter((batch) => batch.discarded === undefined && batch.superseded === undefined)
    .map((batch) => discardItem(job, batch)),
];

const photoItem = (job: JobState): MenuItem =>
  item(
    'a picture',
    formOf('photo', job.id, {
      title: 'Keep a picture',
      questions: [
        askText('photo', 'Which picture: its name on the card'),
        askText('file', 'The picture file, its path'),
      ],
    }),
  );

export const stockItems = (facts: BenchFacts, job: JobState | undefined): readonly MenuItem[] =>
  job
    ? [
        ...toolItems(facts, job),
        ...foundItems(facts),
        ...lotItems(job),
        shopItem(job),
        ...anotherCupItems(job),
        ...batchItems(job),
        photoItem(job),
        logItem(job),
      ]
    : [...foundItems(facts), logItem(undefined)];
