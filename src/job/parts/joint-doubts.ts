import { jointsOf } from '../joints.ts';
import type { Batch, JobState } from '../state.ts';
import type { Doubt } from './part.ts';

/** Why a batch is in doubt, and what is said of the batch itself where it made no joint. */
interface InDoubt extends Pick<Doubt, 'cause' | 'because' | 'lot'> {
  readonly on: string;
  readonly what: string;
}

/** The doubt about every joint of a batch; about the batch itself where it made no joint. */
export const jointDoubts = (job: JobState, batch: Batch, { on, what, ...why }: InDoubt): readonly Doubt[] => {
  const about = { ...why, batch: batch.batch, mix: batch.step };
  const joints = jointsOf(job, batch).flatMap(({ step }) => step ?? []);
  return joints.length === 0
    ? [{ ...about, on, step: batch.step, key: why.cause, what }]
    : joints.map((step) => ({
        ...about,
        on: step,
        step,
        key: `${why.cause} ${step}`,
        what: `${step} was made with ${why.because}`,
      }));
};
