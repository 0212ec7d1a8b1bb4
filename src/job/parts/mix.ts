import { goodBatches } from '../potlife.ts';
import type { Batch, JobState } from '../state.ts';
import { jointDoubts } from './joint-doubts.ts';
import { supersede, withStep, type Doubt, type FoundOf, type JobPart } from './part.ts';
import { toolDoubts } from './tool-doubt.ts';

/** The joints of a batch whose scale was later found wrong. */
const scaleDoubts = (job: JobState, batch: Batch, found: FoundOf): readonly Doubt[] =>
  toolDoubts(found, batch.step, batch.batch, batch, (tool) => `${batch.batch}, weighed on ${tool}`).flatMap(
    ({ cause, what }) =>
      jointDoubts(job, batch, { cause: `${cause} ${batch.batch}`, because: what, on: batch.batch, what }),
  );

export const jobMix: JobPart = {
  wants: (job, step) =>
    step.mix && goodBatches(job, [step.step]).every(({ pending }) => pending === true)
      ? [{ part: 'mix', mix: step.mix, what: `a batch of ${step.mix.material} in its ratio` }]
      : [],
  doubts: (job, { found }) =>
    job.batches.filter((batch) => batch.discarded === undefined).flatMap((batch) => scaleDoubts(job, batch, found)),
  setAside: (draft, step, entry) =>
    supersede(
      draft.batches.filter((batch) => batch.step === step.step),
      entry,
    ),
  rekey: (job, rename) => ({ batches: withStep(job.batches, rename) }),
};
