import type { JobStatus } from '../../aircraft/status.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { hasForecast, jobLater } from '../../aircraft/status-later.ts';
import { statusNow, unchangedUntil } from '../../aircraft/status-now.ts';
import { memoised } from '../../fault/memo.ts';
import type { BenchFacts } from '../ports.ts';
import type { MenuItem } from './menu/item.ts';
import { bulletinItems, contradictionItems } from './owed.ts';

const rank = (job: JobStatus): number =>
  job.potLife ? 0 : job.state === 'open' || job.state === 'opened again' ? 1 : job.state === 'parked' ? 2 : 3;

/** First jobs with wet glue, then open, parked and complete ones, each newest first. */
const inOrder = ({ jobOrder }: BuildState, jobs: readonly JobStatus[]): readonly JobStatus[] => {
  const started = new Map(jobOrder.map((id, index) => [id, index]));
  return jobs.toSorted(
    (one, other) => rank(one) - rank(other) || (started.get(other.id) ?? 0) - (started.get(one.id) ?? 0),
  );
};

const atLast = memoised((build: BuildState) => inOrder(build, statusNow(build, build.lastAt).jobs));

/** The list as it was made last for a state of the build, and until when it is true but for forecasts, ms since 1970. */
const made = memoised((build: BuildState) => ({
  from: build.lastAt,
  until: unchangedUntil(build, build.lastAt),
  jobs: atLast(build),
}));

/** The list of jobs. Put in order once for each state of the build, and again where what a job waits for may have changed with the clock. */
const jobLines = ({ build, now }: BenchFacts): readonly JobStatus[] => {
  if (now.ms < build.lastAt) return inOrder(build, statusNow(build, now.ms).jobs);
  const list = made(build);
  if (now.ms < list.from || now.ms > list.until) {
    list.from = now.ms;
    list.until = unchangedUntil(build, now.ms);
    list.jobs = inOrder(build, statusNow(build, now.ms).jobs);
  }
  return list.jobs.some(hasForecast) ? list.jobs.map((job) => jobLater(job, now.ms)) : list.jobs;
};

/** One row of the first list: a job, something to be decided, or the start of another job. */
export type JobsRow =
  | { readonly kind: 'job'; readonly job: JobStatus }
  | { readonly kind: 'contradiction' | 'bulletin'; readonly item: MenuItem }
  | { readonly kind: 'start' };

const asRow = (job: JobStatus): JobsRow => ({ kind: 'job', job });

const isOverNow = ({ state }: JobStatus): boolean => state === 'complete' || state === 'withdrawn';

/** The rows of the jobs: those under way, and those that are over. */
const rowsOf = memoised((jobs: readonly JobStatus[]) => ({
  underWay: jobs.filter((job) => !isOverNow(job)).map(asRow),
  over: jobs.filter(isOverNow).map(asRow),
}));

/** A contradiction stops work, and comes first. A bulletin does not, and comes after the jobs under way. */
export const jobsRows = (facts: BenchFacts): readonly JobsRow[] => {
  const { underWay, over } = rowsOf(jobLines(facts));
  return [
    ...contradictionItems(facts).map((item): JobsRow => ({ kind: 'contradiction', item })),
    ...underWay,
    ...bulletinItems(facts).map((item): JobsRow => ({ kind: 'bulletin', item })),
    ...over,
    { kind: 'start' },
  ];
};
