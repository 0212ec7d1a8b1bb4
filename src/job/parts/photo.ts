import type { Step } from '../../procedure/model.ts';
import type { Photo } from '../state.ts';
import { supersede, withStep, type JobPart } from './part.ts';

const isOf = (step: Step, photo: Pick<Photo, 'photo'>): boolean => step.photos.some((one) => one.photo === photo.photo);

export const jobPhoto: JobPart = {
  wants: (job, step) =>
    step.photos
      .filter(
        (part) =>
          !job.photos.some(
            (one) => one.photo === part.photo && one.superseded === undefined && one.pending === undefined,
          ),
      )
      .map((part) => ({ part: 'photo', photo: part, what: `a picture: ${part.show}` })),
  setAside: (draft, step, entry) =>
    supersede(
      draft.photos.filter((one) => isOf(step, one)),
      entry,
    ),
  rekey: (job, rename) => ({ photos: withStep(job.photos, rename) }),
};
