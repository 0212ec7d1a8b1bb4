import * as z from 'zod/mini';
import type { JobState, Photo } from '../../job/state.ts';
import type { Step } from '../../procedure/model.ts';
import { presentOf, recordStampOf, unlessEmpty } from '../plain.ts';
import { hash, optionalShape, setAside, stamp, textShape, type Frozen } from '../shapes.ts';
import type { RecordedPart } from './part.ts';

export const photoShape = z.strictObject({
  photo: textShape,
  show: optionalShape(textShape),
  from: optionalShape(textShape),
  sha256: hash,
  file: textShape,
  ...stamp,
  'set-aside': setAside,
});

const photosShape = z.array(photoShape);

export type RecordPhoto = Frozen<z.infer<typeof photoShape>>;

const photoOf = (photo: Photo, step?: Step): RecordPhoto => {
  const asked = step?.photos.find((one) => one.photo === photo.photo);
  return presentOf<RecordPhoto>({
    photo: photo.photo,
    show: asked?.show,
    from: asked?.from,
    sha256: photo.sha256,
    file: photo.file,
    ...recordStampOf(photo),
    'set-aside': photo.superseded,
  });
};

/** The photos of a step; without a step, those that belong to none. */
export const recordPhotosOf = (job: JobState, step?: Step): readonly RecordPhoto[] =>
  job.photos.filter((photo) => photo.step === step?.step).map((photo) => photoOf(photo, step));

/** Every photo of the step, asked for or not. */
export const recordedPhoto: RecordedPart<'photos', typeof photosShape> = {
  slot: 'photos',
  shape: photosShape,
  write: (job, step) => unlessEmpty(recordPhotosOf(job, step)),
};
