import { jobOf, jobsWith, type BuildState } from '../aircraft/state.ts';
import { underWay } from '../aircraft/traits.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { isOver } from '../job/where.ts';
import type { JobState } from '../job/state.ts';

/** True where a word names a job by its procedure, with or without its side. */
const isNamed = (job: JobState, word: string): boolean =>
  word === job.procedure ||
  (job.side !== undefined && (word === `${job.procedure}-${job.side}` || word === `${job.procedure}/${job.side}`));

const only = (jobs: readonly JobState[]): JobState | undefined => {
  const open = jobs.filter((job) => !isOver(job));
  if (open.length === 1) return open[0];
  return jobs.length === 1 ? jobs[0] : undefined;
};

const named = ({ id, plan }: JobState): string => `${id} (${plan.title})`;

/**
 * The job that is meant where nobody names one (`-`): the only one that is open.
 * Faults (usage): `job-unknown`, `job-ambiguous`.
 */
export const onlyOpenJob = (state: BuildState): Outcome<JobState> => {
  const open = jobsWith(state, underWay);
  const [first, second] = open;
  if (first === undefined) {
    const last = state.jobOrder.at(-1);
    const todo =
      last === undefined ? 'start one: dryfit start PROCEDURE' : `name a job instead of -, such as dryfit do ${last} …`;
    return err(usage('job-unknown', 'no job is open', todo));
  }
  if (second === undefined) return ok(first);
  const what = `${open.length} jobs are open: ${open.map(named).join('; ')}`;
  return err(usage('job-ambiguous', what, `name one instead of -: dryfit do ${first.id} …`));
};

/**
 * The job that a word means: by its id, by its procedure (and side) where only one such job is open, or by the beginning of one
 * id.
 * Faults (usage): `job-unknown`, `job-ambiguous`.
 */
export const findJob = (state: BuildState, word: string): Outcome<JobState> => {
  const exact = jobOf(state, word);
  if (exact !== undefined) return ok(exact);
  // every name of a job is the beginning of its id, so no other job needs to be read
  const start = word.replace('/', '-');
  const jobs = state.jobOrder.filter((id) => id.startsWith(start)).flatMap((id) => jobOf(state, id) ?? []);
  const named = jobs.filter((job) => isNamed(job, word));
  const meant = named.length > 0 ? named : jobs.filter(({ id }) => word !== '' && id.startsWith(word));
  const job = only(meant);
  if (job !== undefined) return ok(job);
  const ids = (meant.length > 0 ? meant.map(({ id }) => id) : state.jobOrder).join(', ');
  if (meant.length > 0) return err(usage('job-ambiguous', `'${word}' may be several jobs`, `write one of: ${ids}`));
  const todo = ids === '' ? 'start a job first: dryfit start PROCEDURE' : `the jobs are: ${ids}`;
  return err(usage('job-unknown', `there is no job '${word}'`, todo));
};
