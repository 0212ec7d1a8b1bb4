import type { JobState, Photo } from '../state.ts';
import { perform, stampOf, touch } from '../draft.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

const stepOfPhoto = ({ plan }: JobState, photo: string): string | undefined =>
  plan.steps.find((step) => step.photos.some((part) => part.photo === photo))?.step;

/** A photo belongs to the step that asks for it. */
export const photoAct: Act<'photo'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry, job) => {
    const { photo: id, file, 'file-sha256': sha256 } = entry.data;
    const step = stepOfPhoto(job, id);
    draft.photos.push({ ...stampOf(entry), photo: id, sha256, file, ...(step === undefined ? {} : { step }) });
    if (step === undefined) return;
    perform(draft, step, entry);
    touch(draft, step, entry);
  },
  words: (data) => `picture ${data.photo} kept`,
  correct: correctsItem<'photo', Photo>(
    {
      items: ({ photos }) => photos,
      names: { photo: 'photo', file: 'file', 'file-sha256': 'sha256' },
      steps: ({ step }) => [step],
    },
    {
      bare: () => 'photo',
      after: (draft, { target, now }, job) => {
        const kept = draft.photos.find(({ entry }) => entry === target);
        const step = stepOfPhoto(job, now.photo ?? '');
        if (!kept) return;
        if (step === undefined) delete kept.step;
        else kept.step = step;
      },
    },
  ),
};
