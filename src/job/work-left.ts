import type { JobState } from './state.ts';

type Counts = { readonly superseded?: string };

const counts = (one: Counts): boolean => one.superseded === undefined;

/** The first thing of the job that still counts as work: a value, a batch, a photo or a finished step. */
const workIn = (job: JobState, isWork: (one: Counts) => boolean): string | undefined => {
  const [reading] = Object.entries(job.tries).find(([, tries]) => tries.some(isWork)) ?? [];
  if (reading !== undefined) return `${reading} has a value`;
  const [fastened] = Object.entries(job.fasteners).find(([, acts]) => acts.some(isWork)) ?? [];
  if (fastened !== undefined) return `fasteners of ${fastened} are tightened`;
  const batch = job.batches.find(isWork)?.batch;
  if (batch !== undefined) return `${batch} was mixed`;
  const photo = job.photos.find(isWork)?.photo;
  if (photo !== undefined) return `the photo ${photo} was taken`;
  const breach = job.breaches.find(isWork)?.on;
  if (breach !== undefined) return `${breach} was done although a rule refused it`;
  const [finished] = Object.entries(job.steps).find(([, { state }]) => state === 'done') ?? [];
  return finished === undefined ? undefined : `${finished} is finished`;
};

/**
 * The work for which a job cannot be withdrawn, in words; `undefined` where there is none. Work that was scrapped stays readable and is not
 * in the way; a job without a scrap must have no work at all.
 */
export const workLeft = (job: JobState): string | undefined =>
  workIn(job, job.dispositions.some(({ kind }) => kind === 'scrap') ? counts : () => true);
