import type { JobState } from '../job/state.ts';
import type { Plan } from '../procedure/plan.ts';
import { fromPlain, toPlain } from '../quantity/plain.ts';
import { once } from './once.ts';
import { jobIn, laidUpJobs } from './jobs.ts';
import type { BuildState } from './state.ts';

/*
 * The whole build as lines of text, so that opening need not go through its history again: first all that is no job, then each
 * plan that jobs follow (many follow the same), then each job. A plan and a job are read only when they are asked for.
 */

type Rest = Omit<BuildState, 'jobs'>;

interface Contents extends Rest {
  /** How many plans there are. */
  readonly plans: number;
  /** By the job's place in `jobOrder`: the plan that it follows. */
  readonly follows: readonly number[];
}

const textOf = (value: unknown): string => JSON.stringify(value, toPlain);

const read = (text: string): unknown => JSON.parse(text, fromPlain);

/** The build as lines; none holds a line feed. */
export const layUp = (state: BuildState): readonly string[] => {
  const { jobs, ...rest } = state;
  const plans = new Map<Plan, number>();
  const follows: number[] = [];
  const texts: string[] = [];
  for (const id of state.jobOrder) {
    const job = jobIn(jobs, id);
    if (job === undefined) throw new RangeError(`no job ${id}`);
    const { plan, ...own } = job;
    if (!plans.has(plan)) plans.set(plan, plans.size);
    follows.push(plans.get(plan) ?? 0);
    texts.push(textOf(own));
  }
  const contents: Contents = { ...rest, plans: plans.size, follows };
  return [textOf(contents), ...[...plans.keys()].map(textOf), ...texts];
};

/** The build out of the lines that `layUp` made of it. @param line the line of a number, from 0. */
export const takeUp = (line: (number: number) => string): BuildState => {
  const { plans: count, follows, ...rest } = read(line(0)) as Contents;
  const plans = Array.from({ length: count }, (_, index) => once(() => read(line(1 + index)) as Plan));
  const reads = rest.jobOrder.map((id, index) => {
    const plan = plans[follows[index] ?? -1];
    if (plan === undefined) throw new RangeError(`no plan of ${id}`);
    const own = (): Omit<JobState, 'plan'> => read(line(1 + count + index)) as Omit<JobState, 'plan'>;
    return [id, (): JobState => ({ ...own(), plan: plan() })] as const;
  });
  return { ...rest, jobs: laidUpJobs(reads) };
};
