import { shopAge, type ShopValue } from '../../job/shop.ts';
import type { JobState } from '../../job/state.ts';
import type { ToolNow } from '../../job/surroundings.ts';
import type { GatheredMaterial, Step, GatheredTool } from '../../procedure/model.ts';
import { printDuration } from '../../quantity/time.ts';
import type { Form } from './form.ts';

/** The lot of a material, from its label. */
export const lotForm = (job: JobState, material: string, need: GatheredMaterial | undefined): Form => ({
  key: `lot ${job.id} ${material} ${job.lots.length}`,
  title: `Lot of ${need?.title ?? material}`,
  about: ['As the label has it.'],
  verb: 'lot',
  job: job.id,
  fixed: { material },
  questions: [
    { name: 'number', ask: 'Lot number', kind: 'text', required: true },
    {
      name: 'use-by',
      ask: 'Use by (2027-01-31)',
      kind: 'day',
      required: need?.inDate === true,
    },
  ],
});

/** The serial number of a part, read off the part itself. */
export const partForm = (job: JobState, part: string): Form => {
  const need = job.plan.gather.parts.find((one) => one.part === part);
  return {
    key: `part ${job.id} ${part} ${job.fitted.length}`,
    title: need?.title === undefined ? part : `${need.title}, ${part}`,
    about: ['As it is marked on the part.'],
    verb: 'part',
    job: job.id,
    fixed: { part },
    questions: [
      { name: 'serial', ask: 'Serial number', kind: 'text', required: true },
      { name: 'lot', ask: 'Lot, if it has one', kind: 'text', required: false },
    ],
  };
};

/** Which individual tool of a kind is used from here on. */
export const whichToolForm = (
  job: JobState,
  kind: string,
  need: GatheredTool | undefined,
  tools: readonly ToolNow[],
): Form => ({
  key: `use ${job.id} ${kind}`,
  title: `Which ${need?.title ?? kind}?`,
  about: [],
  verb: 'use',
  job: job.id,
  fixed: { kind },
  questions: [
    {
      name: 'tool',
      ask: 'In use from here on',
      kind: 'choice',
      required: true,
      choices: tools.map((tool) => ({
        value: tool.tool,
        label: tool.tool,
        ...(tool.inDateUntil === undefined ? {} : { aside: `in date until ${tool.inDateUntil}` }),
      })),
    },
  ],
});

/** The shop's air, the surface of the work, and humidity. @param unknown what the page asks for and is not known now. */
export const shopForm = (job: JobState, unknown: readonly ShopValue[]): Form => ({
  key: `shop ${job.id} ${job.shop.length} ${unknown.join(' ')}`,
  title: 'The shop now',
  about: unknown.length === 0 ? [] : [`What was entered counts for ${printDuration(shopAge(job))}.`],
  verb: 'shop',
  job: job.id,
  fixed: {},
  questions: [
    {
      name: 'temperature',
      ask: 'Air',
      kind: 'quantity',
      required: unknown.includes('temperature'),
      unit: '°C',
    },
    { name: 'surface', ask: 'The work itself', kind: 'quantity', required: unknown.includes('surface'), unit: '°C' },
    { name: 'humidity', ask: 'Humidity', kind: 'quantity', required: unknown.includes('humidity'), unit: '%' },
  ],
});

/** Who helps: named when a step begins, or at the latest when it is finished. `helpers`: how many more are needed. */
export const helpersForm = (job: JobState, step: Step, helpers: number, verb: 'begin' | 'finish'): Form => ({
  key: `${verb} ${job.id} ${step.step} ${helpers}`,
  title: `Who lends a hand: ${step.title}`,
  about: [
    helpers <= 1
      ? 'One more person is needed, here and ready now.'
      : `${helpers} more people are needed, here and ready now.`,
  ],
  verb,
  job: job.id,
  fixed: { step: step.step },
  questions: [
    { name: 'with', ask: helpers <= 1 ? 'Name' : 'Names, with commas between', kind: 'names', required: true },
  ],
});
