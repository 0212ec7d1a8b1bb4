import type { JobState } from '../job/state.ts';
import type { Struck } from '../job/stamp.ts';
import type { Surroundings } from '../job/surroundings.ts';
import type { RecordCorrection } from './document.ts';
import { present, recordStampOf } from './plain.ts';

/** True for what was struck of a temperature of a place of the job, or of a tool that was used in it. */
const isOfJob = (job: JobState, { type, about = '' }: Struck): boolean => {
  if (type === 'tool')
    return [...Object.values(job.tries).flat(), ...Object.values(job.fasteners).flat(), ...job.batches].some(
      ({ tool }) => tool === about,
    );
  return [...job.plan.steps, ...job.former].some(
    (step) => (step.mix !== undefined || step.cure !== undefined) && (step.place ?? '') === about,
  );
};

/** Everything that corrections struck in a job, and of the temperatures and tools that it rests on. */
export const correctionsOf = (job: JobState, around: Surroundings): readonly RecordCorrection[] =>
  [...job.struck, ...around.struck.filter((one) => isOfJob(job, one))].map((one) =>
    present({
      type: one.type,
      about: one.about === '' ? undefined : one.about,
      was: one.value,
      is: one.right,
      ...recordStampOf(one),
      reason: one.reason,
      'struck-by': one.struckBy,
      'struck-at': one.struckAt,
      'struck-entry': one.struckEntry,
    }),
  );
