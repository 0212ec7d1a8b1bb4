import { goodBatches } from '../potlife.ts';
import type { Batch } from '../state.ts';
import { inspectedLine, supersede, withStep, type JobPart } from './part.ts';

const inspectedBatch = (batch: Batch): string =>
  inspectedLine(
    batch.batch,
    batch.entry,
    ...Object.entries(batch.weights).flat(),
    ...Object.entries(batch.lots).flat(),
    batch.inRatio ? 'in ratio' : 'out of ratio',
    batch.discarded && `discarded ${batch.discarded.entry}`,
    batch.superseded,
    batch.struck.length,
  );

export const jobMix: JobPart = {
  wants: (job, step) =>
    step.mix && goodBatches(job, [step.step]).every(({ pending }) => pending === true)
      ? [{ part: 'mix', mix: step.mix, what: `a batch of ${step.mix.material} in its ratio` }]
      : [],
  setAside: (draft, step, entry) =>
    supersede(
      draft.batches.filter((batch) => batch.step === step.step),
      entry,
    ),
  rekey: (job, rename) => ({ batches: withStep(job.batches, rename) }),
  inspected: (job, step) => job.batches.filter((batch) => batch.step === step.step).map(inspectedBatch),
};
