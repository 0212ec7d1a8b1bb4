import type { LogMark } from '../job/surroundings.ts';
import { rowsIn, rowsText } from '../job/logger/log.ts';
import type { JobState } from '../job/state.ts';
import type { Plan } from '../procedure/plan.ts';
import { fromPlainValue, toPlainValue } from '../quantity/plain.ts';
import { once } from '../fault/memo.ts';
import { jobIn, laidUpJobs } from './jobs.ts';
import type { BuildState } from './state.ts';

/*
 * The whole build as lines of text, so that opening a state need not go through its history again. The first line has everything but jobs
 * and logs. Then come the plans that jobs follow (many jobs follow the same one), the rows of each imported log, and two lines for each
 * job: its state, and its story, which most readers of a job do not need. Each further line is read only when somebody asks for it.
 */

type Rest = Omit<BuildState, 'jobs' | 'logs'>;

type Logs = BuildState['logs'];

interface Contents extends Rest {
  /** How many plans follow, one a line. */
  readonly plans: number;
  /** The imports of each place, without their rows. */
  readonly logs: Readonly<Record<string, readonly Omit<LogMark, 'rows'>[]>>;
  /** The number of the plan (from 0) that each job follows, in the order of `jobOrder`. */
  readonly follows: readonly number[];
}

/** The parts of a job that only grow and become long. */
type Story = Pick<JobState, 'log' | 'remarks'>;

type Own = Omit<JobState, 'plan' | keyof Story>;

/** A job whose story is read when somebody first asks for it. */
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

/** The build as lines of text; no line contains a line feed. */
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

/** The build from the lines that `serialize` wrote. @param line gives the line with a number, counted from 0. */
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
