import { becauseOfSample, causeOfSample, sampleFailed } from '../joints.ts';
import { goodBatches } from '../potlife.ts';
import type { Batch, JobState } from '../state.ts';
import { jointDoubts } from './joint-doubts.ts';
import type { Doubt, JobPart } from './part.ts';

/** Every joint of a batch whose sample failed; the batch itself where it made no joint. */
const sampleDoubts = (job: JobState, batch: Batch): readonly Doubt[] =>
  jointDoubts(job, batch, {
    cause: causeOfSample(batch),
    because: becauseOfSample(batch),
    on: batch.sample?.id ?? batch.batch,
    what: `the sample ${batch.sample?.id ?? ''} of ${batch.batch} failed: every joint of that batch is in doubt`,
  });

/** A sample belongs to its batch, and is set aside and renamed with the batch. */
export const jobBreak: JobPart = {
  wants: (job, step) =>
    goodBatches(job, step.break?.of ?? []).flatMap(({ batch, sample }) =>
      sample && !sample.broken
        ? [{ part: 'break', batch, sample: sample.id, what: `the sample ${sample.id} of ${batch}, broken` }]
        : [],
    ),
  doubts: (job) =>
    job.batches
      .filter((batch) => batch.superseded === undefined && sampleFailed(batch))
      .flatMap((batch) => sampleDoubts(job, batch)),
  /** A breaking that a rule refused is set aside by itself: another piece of the same batch is broken instead. */
  setAside: (draft, step) => {
    for (const { step: mix, sample } of draft.batches)
      if (step.break?.of.includes(mix) && sample?.broken?.pending === true && sample.broken.result === 'held') {
        sample.earlier = [...(sample.earlier ?? []), sample.broken];
        delete sample.broken;
      }
  },
};
