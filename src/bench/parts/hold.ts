import type { Finding } from '../../job/judged.ts';
import type { JobState } from '../../job/state.ts';
import type { Step } from '../../procedure/model.ts';
import type { Form } from '../session/form.ts';
import type { BenchPart } from './part.ts';

const inviteForm = (job: JobState, step: Step): Form => ({
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

/** The builder answers a finding before the inspector looks again. */
const answerForm = (job: JobState, { number, text }: Finding): Form => ({
  key: `answer ${job.id} ${number}`,
  title: `Finding ${number}, to be answered`,
  about: [text],
  verb: 'answer',
  job: job.id,
  fixed: { finding: number },
  questions: [{ name: 'remark', ask: 'What was done about it', kind: 'text', required: true }],
});

/** A hold point or a witness point. What the second person reads is `view/hold.ts`, what they can answer `session/hold-items.ts`. */
export const holdPart = {
  ask: (job, step, wanted) => {
    if ('invite' in wanted) return { kind: 'question', step, form: inviteForm(job, step), beneath: 'title' };
    const { hold, unanswered } = wanted;
    return unanswered
      ? { kind: 'question', step, form: answerForm(job, unanswered), beneath: 'title' }
      : { kind: hold.kind, step };
  },
} satisfies BenchPart<'hold'>;
