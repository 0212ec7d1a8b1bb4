import type { JobStatus } from '../../aircraft/status.ts';
import { statusNow } from '../../aircraft/status-now.ts';
import type { BenchFacts } from '../ports.ts';
import type { MenuItem } from './menu/item.ts';
import { bulletinItems, contradictionItems } from './owed.ts';

const rank = (job: JobStatus): number =>
  job.potLife ? 0 : job.state === 'open' || job.state === 'opened again' ? 1 : job.state === 'parked' ? 2 : 3;

/** The list of jobs: first those with wet glue, then open, parked and complete ones, each newest first. */
const jobLines = (facts: BenchFacts): readonly JobStatus[] => {
  const started = new Map(facts.build.jobOrder.map((id, index) => [id, index]));
  return statusNow(facts.build, facts.now.ms).jobs.toSorted(
    (one, other) => rank(one) - rank(other) || (started.get(other.id) ?? 0) - (started.get(one.id) ?? 0),
  );
};

/** One row of the first list: a job, something to be decided, or the start of another job. */
export type JobsRow =
  | { readonly kind: 'job'; readonly job: JobStatus }
  | { readonly kind: 'contradiction' | 'bulletin'; readonly item: MenuItem }
  | { readonly kind: 'start' };

/** A contradiction stops work, and comes first. A bulletin does not, and comes after the jobs under way. */
export const jobsRows = (facts: BenchFacts): readonly JobsRow[] => {
  const jobs = jobLines(facts);
  const asJob = (job: JobStatus): JobsRow => ({ kind: 'job', job });
  return [
    ...contradictionItems(facts).map((item): JobsRow => ({ kind: 'contradiction', item })),
    ...jobs.filter(({ state }) => state !== 'complete' && state !== 'withdrawn').map(asJob),
    ...bulletinItems(facts).map((item): JobsRow => ({ kind: 'bulletin', item })),
    ...jobs.filter(({ state }) => state === 'complete' || state === 'withdrawn').map(asJob),
    { kind: 'start' },
  ];
};
