import { perform, stampOf, touch } from '../draft.ts';
import { takeUnless, type Act } from './act.ts';

/** A photo belongs to the step that asks for it. */
export const photoAct: Act<'photo'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry, job) => {
    const { photo: id, file, 'file-sha256': sha256 } = entry.data;
    const step = job.plan.steps.find((one) => one.photos.some((part) => part.photo === id))?.step;
    draft.photos.push({ ...stampOf(entry), photo: id, sha256, file, ...(step === undefined ? {} : { step }) });
    if (step === undefined) return;
    perform(draft, step, entry);
    touch(draft, step, entry);
  },
  words: (data) => `picture ${data.photo} kept`,
};
