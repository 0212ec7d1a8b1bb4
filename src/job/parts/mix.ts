import { goodBatches } from '../potlife.ts';
import type { Batch, JobState } from '../state.ts';
import { becauseOfRatio, causeOfRatio, isOutOfRatio } from '../joints.ts';
import { jointDoubts } from './joint-doubts.ts';
import { supersede, withStep, type Doubt, type FoundOf, type JobPart, type Trouble } from './part.ts';
import { toolDoubts } from './tool-doubt.ts';

/** The joints of a batch whose scale was later found wrong. */
const scaleDoubts = (job: JobState, batch: Batch, found: FoundOf): readonly Doubt[] =>
  toolDoubts(found, batch.step, batch.batch, batch, (tool) => `${batch.batch}, weighed on ${tool}`).flatMap(
    ({ cause, what }) =>
      jointDoubts(job, batch, { cause: `${cause} ${batch.batch}`, because: what, on: batch.batch, what }),
  );

/** Batches that a correction showed to be outside their ratio, after something had been made with them. */
const outOfRatio = ({ batches }: JobState): readonly Batch[] =>
  batches.filter((batch) => batch.superseded === undefined && isOutOfRatio(batch));

/** Such a batch is outside its limits, as a value is. Its key is the cause of the doubts, so that a disposition of the batch covers them all. */
const ratioTrouble = (batch: Batch): Trouble => ({
  on: batch.batch,
  step: batch.step,
  key: causeOfRatio(batch),
  verdict: 'outside',
  isFinal: true,
  what: `${becauseOfRatio(batch)} after it was used`,
});

const ratioDoubts = (job: JobState, batch: Batch): readonly Doubt[] =>
  jointDoubts(job, batch, {
    cause: causeOfRatio(batch),
    because: becauseOfRatio(batch),
    on: batch.batch,
    what: becauseOfRatio(batch),
  }).filter(({ on }) => on !== batch.batch);

export const jobMix: JobPart = {
  wants: (job, step) =>
    step.mix && goodBatches(job, [step.step]).every(({ pending }) => pending === true)
      ? [{ part: 'mix', mix: step.mix, what: `a batch of ${step.mix.material} in its ratio` }]
      : [],
  doubts: (job, { found }) => [
    ...outOfRatio(job).flatMap((batch) => ratioDoubts(job, batch)),
    ...job.batches.filter((batch) => batch.discarded === undefined).flatMap((batch) => scaleDoubts(job, batch, found)),
  ],
  troubles: (job, { step }) =>
    outOfRatio(job)
      .filter((batch) => batch.step === step)
      .map(ratioTrouble),
  setAside: (draft, step, entry) =>
    supersede(
      draft.batches.filter((batch) => batch.step === step.step),
      entry,
    ),
  rekey: (job, rename) => ({ batches: withStep(job.batches, rename) }),
};
