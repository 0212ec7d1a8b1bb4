import type { LogMark } from '../job/surroundings.ts';
import { rowsIn, rowsText } from '../job/logger/log.ts';
import type { JobState } from '../job/state.ts';
import type { Plan } from '../procedure/plan.ts';
import { fromPlainValue, toPlainValue } from '../quantity/plain.ts';
import { once } from '../fault/memo.ts';
import { jobIn, laidUpJobs } from './jobs.ts';
import type { BuildState } from './state.ts';

/*
 * The whole build as lines of text, so that opening need not go through its history again: first all that is neither job nor log,
 * then each plan that jobs follow (many follow the same), then the rows of each imported log, then two lines for each job: what it
 * is, and its story, which most who look at a job do not ask for. Whatever stands in a line of its own is read only when it is asked for.
 */

type Rest = Omit<BuildState, 'jobs' | 'logs'>;

type Logs = BuildState['logs'];

interface Contents extends Rest {
  /** How many plans there are. */
  readonly plans: number;
  /** Without their rows. */
  readonly logs: Readonly<Record<string, readonly Omit<LogMark, 'rows'>[]>>;
  /** By the job's place in `jobOrder`: the plan that it follows. */
  readonly follows: readonly number[];
}

/** Of a job: what only grows, and is long. */
type Story = Pick<JobState, 'log' | 'remarks'>;

type Own = Omit<JobState, 'plan' | keyof Story>;

/** A job whose story is read when it is first asked for. */
const jobWith = (own: Own, plan: Plan, story: () => Story): JobState => ({
  ...own,
  plan,
  get log() {
    return story().log;
  },
  get remarks() {
    return story().remarks;
  },
});

const textOf = (value: unknown): string => JSON.stringify(value, toPlainValue);

const read = (text: string): unknown => JSON.parse(text, fromPlainValue);

const mapLogs = <From, To>(
  logs: Readonly<Record<string, readonly From[]>>,
  change: (mark: From) => To,
): Readonly<Record<string, readonly To[]>> =>
  Object.fromEntries(Object.entries(logs).map(([place, marks]) => [place, marks.map(change)]));

const withoutRows = (logs: Logs): Contents['logs'] => mapLogs(logs, ({ rows: _rows, ...mark }) => mark);

/** The build as lines; none holds a line feed. */
export const serialize = (state: BuildState): readonly string[] => {
  const { jobs, logs, ...rest } = state;
  const plans = new Map<Plan, number>();
  const follows: number[] = [];
  const texts: string[] = [];
  for (const id of state.jobOrder) {
    const job = jobIn(jobs, id);
    if (job === undefined) throw new RangeError(`no job ${id}`);
    const { plan, log, remarks, ...own } = job;
    if (!plans.has(plan)) plans.set(plan, plans.size);
    follows.push(plans.get(plan) ?? 0);
    const story: Story = { log, remarks };
    texts.push(textOf(own), textOf(story));
  }
  const contents: Contents = { ...rest, logs: withoutRows(logs), plans: plans.size, follows };
  const rows = Object.values(logs).flatMap((marks) => marks.map((mark) => rowsText(mark.rows())));
  return [textOf(contents), ...[...plans.keys()].map(textOf), ...rows, ...texts];
};

/** The build out of the lines that `layUp` made of it. @param line the line of a number, from 0. */
export const restore = (line: (number: number) => string): BuildState => {
  const { plans: count, follows, logs: marks, ...rest } = read(line(0)) as Contents;
  const plans = Array.from({ length: count }, (_, index) => once(() => read(line(1 + index)) as Plan));
  let next = 1 + count;
  const logs = mapLogs(marks, (mark): LogMark => {
    const number = next++;
    return { ...mark, rows: once(() => rowsIn(line(number))) };
  });
  const firstJob = next;
  const reads = rest.jobOrder.map((id, index) => {
    const plan = plans[follows[index] ?? -1];
    if (plan === undefined) throw new RangeError(`no plan of ${id}`);
    const at = firstJob + 2 * index;
    const story = once(() => read(line(at + 1)) as Story);
    return [id, () => jobWith(read(line(at)) as Own, plan(), story)] as const;
  });
  return { ...rest, logs, jobs: laidUpJobs(reads) };
};
