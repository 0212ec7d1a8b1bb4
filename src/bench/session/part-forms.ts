import { goodBatches } from '../../job/potlife.ts';
import type { ToolNow } from '../../job/surroundings.ts';
import type { JobState } from '../../job/state.ts';
import { currentTries, limitsNow, type Slot } from '../../job/values.ts';
import type { Limits } from '../../quantity/limits.ts';
import type { GatheredMaterial, Mix, Reading, Step, GatheredTool } from '../../procedure/model.ts';
import type { Form, Question } from './form.ts';
import { own } from '../../fault/own.ts';

/** Where in a reading: `root`, `time 2 of 3`. */
export const slotWords = (reading: Reading, slot: Slot): string =>
  [
    ...(slot.position === undefined ? [] : [slot.position]),
    ...(reading.times > 1 ? [`time ${slot.n} of ${reading.times}`] : []),
  ].join(', ');

const valueQuestion = (reading: Reading, slot: Slot): Question => {
  const ask = [reading.ask ?? reading.reading, slotWords(reading, slot)].filter((part) => part !== '').join(', ');
  const base = { name: 'value', ask, required: true } as const;
  if (reading.kind === 'quantity') return { ...base, kind: 'quantity', unit: reading.unit.name };
  if (reading.kind === 'count') return { ...base, kind: 'whole' };
  if (reading.kind === 'choice')
    return { ...base, kind: 'choice', choices: reading.choices.map((value) => ({ value, label: value })) };
  return { ...base, kind: 'text' };
};

const reasonQuestion: Question = { name: 'reason', ask: 'Why is it taken again?', kind: 'text', required: true };

/** A value at one slot. From the second try on it wants its reason; an instruction that goes with the work asks for none. */
export const readingForm = (job: JobState, reading: Reading, slot: Slot): Form => {
  const tries = currentTries(job, reading.reading, slot);
  const where = slotWords(reading, slot);
  return {
    key: `read ${job.id} ${reading.reading} ${slot.position ?? ''} ${slot.n} ${tries.length}`,
    title: [reading.ask ?? reading.reading, where].filter((part) => part !== '').join(', '),
    about: [],
    verb: 'read',
    job: job.id,
    fixed: {
      reading: reading.reading,
      ...(slot.position === undefined ? {} : { position: slot.position }),
      ...(reading.times > 1 ? { n: slot.n } : {}),
    },
    questions: [valueQuestion(reading, slot), ...(tries.length > 0 ? [reasonQuestion] : [])],
  };
};

const unitIn = (limits: Limits | undefined, fallback: string): string => {
  const bound = limits?.low ?? limits?.high;
  if (!bound) return fallback;
  return 'unit' in bound.base ? bound.base.unit.name : (bound.offset?.unit.name ?? fallback);
};

/** What one fastener takes besides its mark, which is an act of its own. */
export const tightenForm = (job: JobState, step: Step, fastener: number): Form | undefined => {
  const tighten = step.tighten;
  if (!tighten) return undefined;
  const fixed = tighten.torque && limitsNow(job, tighten.torque);
  const torqueUnit = (fixed?.low ?? fixed?.high)?.at.unit.name ?? unitIn(tighten.torque, 'N·m');
  const tries = (own(job.fasteners, step.step) ?? []).filter(
    (act) => act.fastener === fastener && act.superseded === undefined,
  );
  const ask = (name: string, words: string, unit: string): Question => ({
    name,
    ask: words,
    kind: 'quantity',
    required: true,
    unit,
  });
  return {
    key: `tighten ${job.id} ${step.step} ${fastener} ${tries.length}`,
    title: tighten.fasteners === 1 ? step.title : `Fastener ${fastener}`,
    about: tighten.never === undefined ? [] : [`Never ${tighten.never}`],
    verb: 'tighten',
    job: job.id,
    fixed: { step: step.step, fastener },
    questions: [
      ...(tighten.drag === 'measured' ? [ask('drag', 'Drag, as the wrench shows it', torqueUnit)] : []),
      ...(tighten.torque ? [ask('torque', 'Torque, as the wrench shows it', torqueUnit)] : []),
      ...(tighten.fingerTight ? [ask('finger-tight', 'Turns by hand', unitIn(tighten.fingerTight, 'turns'))] : []),
      ...(tighten.past ? [ask('past', 'Turns past finger-tight', unitIn(tighten.past, 'turns'))] : []),
    ],
  };
};

/** The unit of a cup's bare numbers: that of its batch limits, else grams or millilitres. */
export const cupUnit = (mix: Mix): string => unitIn(mix.batch, mix.by === 'weight' ? 'g' : 'ml');

export const mixForm = (job: JobState, step: Step, mix: Mix): Form => {
  const cups = job.batches.filter((batch) => batch.step === step.step).length;
  return {
    key: `mix ${job.id} ${step.step} ${cups}`,
    title: step.title,
    about: [],
    verb: 'mix',
    job: job.id,
    fixed: { step: step.step },
    questions: [
      ...mix.ratio.map(({ part }): Question => ({
        name: `weights.${part}`,
        ask: mix.by === 'weight' ? `Weigh the ${part}` : `Measure the ${part}`,
        kind: 'quantity',
        required: true,
        unit: cupUnit(mix),
      })),
      ...(mix.sample
        ? [{ name: 'sample', ask: "The sample's number, as written on it", kind: 'text', required: true } as const]
        : []),
    ],
  };
};

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

export const shopForm = (job: JobState): Form => ({
  key: `shop ${job.id} ${job.shop.length}`,
  title: 'The shop now',
  about: [],
  verb: 'shop',
  job: job.id,
  fixed: {},
  questions: [
    { name: 'temperature', ask: 'Air', kind: 'quantity', required: false, unit: '°C' },
    { name: 'surface', ask: 'The work itself', kind: 'quantity', required: false, unit: '°C' },
    { name: 'humidity', ask: 'Humidity', kind: 'quantity', required: false, unit: '%' },
  ],
});

export const temperatureForm = (job: string, place: string | undefined): Form => ({
  key: `temperature ${job}`,
  title: place === undefined ? 'Temperature' : `Temperature, ${place}`,
  about: [],
  verb: 'temperature',
  job: '',
  fixed: place === undefined ? {} : { place },
  questions: [
    { name: 'temperature', ask: 'Temperature now', kind: 'quantity', required: true, unit: '°C' },
    {
      name: 'lowest',
      ask: 'Lowest since the last one, if the thermometer keeps it',
      kind: 'quantity',
      required: false,
      unit: '°C',
    },
  ],
});

export const breakForm = (job: JobState, batch: string): Form | undefined => {
  const found = job.batches.find((one) => one.batch === batch);
  if (!found?.sample) return undefined;
  return {
    key: `break ${job.id} ${batch}`,
    title: `Break the sample ${found.sample.id} of ${batch}`,
    about: ['Wood torn on both faces is what one hopes for; a clean glue line is not.'],
    verb: 'break',
    job: job.id,
    fixed: { sample: found.sample.id },
    questions: [
      {
        name: 'result',
        ask: 'What did it show?',
        kind: 'choice',
        required: true,
        choices: [
          { value: 'held', label: 'held', aside: 'it broke elsewhere than in the glue line' },
          { value: 'failed', label: 'failed', aside: 'every joint of this batch is in doubt' },
        ],
      },
      { name: 'remark', ask: 'What was seen', kind: 'text', required: false },
    ],
  };
};

/** Samples that can be broken now: of every batch in use. */
export const samplesToBreak = (job: JobState): readonly string[] =>
  goodBatches(job, [...new Set(job.batches.map((batch) => batch.step))])
    .filter((batch) => batch.sample && !batch.sample.broken)
    .map((batch) => batch.batch);

export const inviteForm = (job: JobState, step: Step): Form => ({
  key: `invite ${job.id} ${step.step}`,
  title: `Witness point: ${step.title}`,
  about: ['The second person is invited. The job may go on without them; the record says whether they came.'],
  verb: 'invite',
  job: job.id,
  fixed: { step: step.step },
  questions: [
    { name: 'who', ask: 'Who was asked', kind: 'text', required: true },
    { name: 'how', ask: 'How: by telephone, in person', kind: 'text', required: true },
  ],
});

export const looseForm = (job: JobState, step: Step, id: string): Form | undefined => {
  const item = step.loose.find((one) => one.item === id);
  if (!item) return undefined;
  return {
    key: `loose ${job.id} ${step.step} ${id}`,
    title: `Left loose: ${item.item}`,
    about: [`${item.left}: ${item.because}`, `to be closed before ${item.before}`],
    verb: 'loose',
    job: job.id,
    fixed: { item: item.item, left: item.left, because: item.because, before: item.before },
    questions: [{ name: 'count', ask: 'How many are left, counted', kind: 'whole', required: true }],
  };
};

export const closeForm = (job: JobState, id: string): Form => ({
  key: `close ${job.id} ${id} ${job.closings.length}`,
  title: `Close the loose item: ${id}`,
  about: ['Count them: as many in as went out.'],
  verb: 'close',
  job: job.id,
  fixed: { tag: id },
  questions: [{ name: 'count', ask: 'How many are closed, counted', kind: 'whole', required: true }],
});

export const photoForm = (job: JobState, step: Step, id: string): Form | undefined => {
  const part = step.photos.find((one) => one.photo === id);
  if (!part) return undefined;
  return {
    key: `photo ${job.id} ${id}`,
    title: `Picture ${part.photo}`,
    about: [
      `Show ${part.show}${part.from === undefined ? '' : `, from ${part.from}`}.`,
      `Write ${part.photo} on a card in the picture.`,
    ],
    verb: 'photo',
    job: job.id,
    fixed: { photo: part.photo },
    questions: [{ name: 'file', ask: 'The picture file, its path', kind: 'text', required: true }],
  };
};

/** Who lends a hand: named when a step begins, or at the latest when it is finished. */
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
