import { goodBatches } from '../../../job/potlife.ts';
import { fittedNow } from '../../../job/serials.ts';
import type { JobState } from '../../../job/state.ts';
import { currentStep } from '../../../job/where.ts';
import { breakForm } from '../../parts/break.ts';
import { temperatureForm } from '../../parts/cure.ts';
import type { BenchFacts } from '../../ports.ts';
import type { Choice } from '../form.ts';
import { lotForm, partForm, shopForm } from '../gather-forms.ts';
import { takeInAnyTool } from './book.ts';
import { anotherCupItems, discardItem } from './glue.ts';
import { choice, formItem, formOf, item, askText, type MenuItem } from './item.ts';
import { own } from '../../../fault/own.ts';

export const temperatureItem = (job: JobState | undefined): MenuItem => {
  const place = job && currentStep(job)?.place;
  return formItem('temperature', temperatureForm(job?.id ?? '', place));
};

/** Imports a logger's file. What the file does not say, such as its unit, is typed here, once a refusal has asked for it. */
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
    const now = job.lots.findLast((lot) => lot.material === need.material)?.number;
    return formItem(`lot: ${need.title ?? need.material}`, lotForm(job, need.material, need), now);
  });

export const partItems = (job: JobState): readonly MenuItem[] =>
  job.plan.gather.parts
    .filter(({ serial }) => serial)
    .map((need) => {
      const named = fittedNow(job, need.part).map(({ serial }) => serial);
      return formItem(`serial number: ${need.title ?? need.part}`, partForm(job, need.part), named.join(', '));
    });

export const shopItem = (job: JobState): MenuItem => formItem('the shop now', shopForm(job, []));

/** The samples that can be broken now: those of every batch in use. */
const sampleItems = (job: JobState): readonly MenuItem[] =>
  goodBatches(job, [...new Set(job.batches.map((batch) => batch.step))]).flatMap(({ batch, sample }) =>
    sample && !sample.broken ? [formItem(`break the sample of ${batch}`, breakForm(job, batch, sample.id))] : [],
  );

export const batchItems = (job: JobState): readonly MenuItem[] => [
  ...sampleItems(job),
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
        ...partItems(job),
        shopItem(job),
        ...anotherCupItems(job),
        ...batchItems(job),
        photoItem(job),
        logItem(job),
        takeInAnyTool,
      ]
    : [...foundItems(facts), logItem(undefined), takeInAnyTool];
