import { err, ok, type Outcome } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Batch, JobState } from '../state.ts';

/** The batch with this number, or a fault. */
export const batchNamed = ({ batches }: JobState, id: string): Outcome<Batch> => {
  const found = batches.findLast((one) => one.batch === id);
  return found
    ? ok(found)
    : err(
        unknownId(
          `no batch '${id}' in this job`,
          id,
          batches.map((one) => one.batch),
        ),
      );
};

/** The batch of a sample, named by the sample's number or by the batch's own. */
export const sampleNamed = ({ batches }: JobState, id: string): Outcome<Batch> => {
  const found = batches.findLast((one) => one.batch === id || one.sample?.id === id);
  const known = batches.flatMap(({ sample }) => (sample ? [sample.id] : []));
  return found?.sample ? ok(found) : err(unknownId(`no sample '${id}' in this job`, id, known));
};
