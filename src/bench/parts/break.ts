import type { JobState } from '../../job/state.ts';
import type { Form } from '../session/form.ts';
import type { BenchPart } from './part.ts';

/** Breaking the sample of a batch, which proves that the batch set. */
export const breakForm = (job: JobState, batch: string, sample: string): Form => ({
  key: `break ${job.id} ${batch}`,
  title: `Break the sample ${sample} of ${batch}`,
  about: ['Wood torn on both faces is what one hopes for; a clean glue line is not.'],
  verb: 'break',
  job: job.id,
  fixed: { sample },
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
});

export const breakPart = {
  ask: (job, step, { batch, sample }) => ({
    kind: 'question',
    step,
    form: breakForm(job, batch, sample),
    beneath: 'title',
  }),
} satisfies BenchPart<'break'>;
