import type { JobState } from '../../job/state.ts';
import type { PhotoPart } from '../../procedure/model.ts';
import type { Form } from '../session/form.ts';
import type { BenchPart } from './part.ts';

const photoForm = (job: JobState, { photo, show, from }: PhotoPart): Form => ({
  key: `photo ${job.id} ${photo}`,
  title: `Picture ${photo}`,
  about: [`Show ${show}${from === undefined ? '' : `, from ${from}`}.`, `Write ${photo} on a card in the picture.`],
  verb: 'photo',
  job: job.id,
  fixed: { photo },
  questions: [{ name: 'file', ask: 'The picture file, its path', kind: 'text', required: true }],
});

export const photoPart = {
  ask: (job, step, { photo }) => ({ kind: 'question', step, form: photoForm(job, photo), beneath: 'title' }),
} satisfies BenchPart<'photo'>;
