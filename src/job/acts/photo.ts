import type { Step } from '../../procedure/model.ts';
import { pendingOf } from '../breach.ts';
import { perform, stampOf, touch } from '../draft.ts';
import { openingRefusals } from '../refusals/opening.ts';
import type { JobState, Photo } from '../state.ts';
import { stepStateOf } from '../step-state.ts';
import { nothingOpen, takeUnless, type Act, type Foreseen, type Intended } from './act.ts';
import { correctsItem } from './correctable.ts';

const stepOfPhoto = ({ plan }: JobState, photo: string): Step | undefined =>
  plan.steps.find((step) => step.photos.some((part) => part.photo === photo));

/** A photo belongs to the step that asks for it, and opens that step as any other entry does. More photos of a finished step are welcome. */
const foresee = ({ job, moment, data }: Intended<'photo'>): Foreseen => {
  const step = stepOfPhoto(job, data.photo ?? '');
  const isOpened = step === undefined || stepStateOf(job, step.step).state === 'done';
  return { step, refusals: isOpened ? [] : openingRefusals(job, step, moment) };
};

export const photoAct: Act<'photo'> = {
  decide: (ask) => {
    const { step, refusals } = foresee({ ...ask, open: nothingOpen });
    return takeUnless(ask, step, refusals);
  },
  foresee,
  evolve: (draft, entry, job) => {
    const { photo: id, file, 'file-sha256': sha256 } = entry.data;
    const step = stepOfPhoto(job, id)?.step;
    draft.photos.push({
      ...stampOf(entry),
      ...pendingOf(entry),
      photo: id,
      sha256,
      file,
      ...(step === undefined ? {} : { step }),
    });
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
        const step = stepOfPhoto(job, now.photo ?? '')?.step;
        if (!kept) return;
        if (step === undefined) delete kept.step;
        else kept.step = step;
      },
    },
  ),
};
