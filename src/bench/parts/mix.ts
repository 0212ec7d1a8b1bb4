import type { JobState } from '../../job/state.ts';
import type { Mix, Step } from '../../procedure/model.ts';
import type { Form, Question } from '../session/form.ts';
import { correctItem, type MenuItem } from '../session/menu/item.ts';
import { limitsUnit } from './limits-unit.ts';
import { mixSaid, mixWork } from './mix-rows.ts';
import type { BenchPart } from './part.ts';

/** The unit of a cup's bare numbers: that of its batch limits, else grams or millilitres. */
const cupUnit = (mix: Mix): string => limitsUnit(mix.batch, mix.by === 'weight' ? 'g' : 'ml');

/** One cup: each part of it weighed or measured, and its sample where one is owed. */
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

const corrections = (job: JobState): readonly MenuItem[] =>
  job.batches
    .filter((batch) => batch.superseded === undefined)
    .flatMap((batch) =>
      Object.entries(batch.weights).map(([part, value]) =>
        correctItem(job, batch.entry, `${batch.batch} ${part}`, value, undefined, part),
      ),
    );

export const mixPart = {
  ask: (job, step, { mix }) => ({
    kind: 'question',
    step,
    form: { ...mixForm(job, step, mix), subject: { part: 'mix', step, mix } },
    beneath: 'step',
  }),
  work: mixWork,
  said: mixSaid,
  corrections,
} satisfies BenchPart<'mix'>;
