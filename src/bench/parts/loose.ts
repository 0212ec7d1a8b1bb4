import type { JobState } from '../../job/state.ts';
import type { LoosePart, Step } from '../../procedure/model.ts';
import type { Form } from '../session/form.ts';
import type { BenchPart } from './part.ts';

const looseForm = (job: JobState, step: Step, { item, left, because, before }: LoosePart): Form => ({
  key: `loose ${job.id} ${step.step} ${item}`,
  title: `Left loose: ${item}`,
  about: [`${left}: ${because}`, `to be closed before ${before}`],
  verb: 'loose',
  job: job.id,
  fixed: { item, left, because, before },
  questions: [{ name: 'count', ask: 'How many are left, counted', kind: 'whole', required: true }],
});

const closeForm = (job: JobState, item: string): Form => ({
  key: `close ${job.id} ${item} ${job.closings.length}`,
  title: `Close the loose item: ${item}`,
  about: ['Count them: as many in as went out.'],
  verb: 'close',
  job: job.id,
  fixed: { tag: item },
  questions: [{ name: 'count', ask: 'How many are closed, counted', kind: 'whole', required: true }],
});

export const loosePart = {
  ask: (job, step, wanted) => ({
    kind: 'question',
    step,
    form: 'leave' in wanted ? looseForm(job, step, wanted.leave) : closeForm(job, wanted.close),
    beneath: 'title',
  }),
} satisfies BenchPart<'loose'>;
