import { statusOf, type JobStatus } from '../../build/status.ts';
import type { World } from '../ports.ts';

const rank = (job: JobStatus): number =>
  job.potLife ? 0 : job.state === 'open' || job.state === 'opened again' ? 1 : job.state === 'parked' ? 2 : 3;

/** The list of jobs: glue that is wet first, then what is open, parked, complete; the newest first among equals. */
export const jobLines = (world: World): readonly JobStatus[] => {
  const started = new Map(world.build.jobOrder.map((id, index) => [id, index]));
  return statusOf(world.build, world.now.ms).jobs.toSorted(
    (one, other) => rank(one) - rank(other) || (started.get(other.id) ?? 0) - (started.get(one.id) ?? 0),
  );
};
