import type { LogMark, TemperatureMark } from '../job/surroundings.ts';
import { rowsIn, rowsText } from '../job/logger/log.ts';
import type { JobState } from '../job/state.ts';
import type { Plan } from '../procedure/plan.ts';
import { fromPlainValue, toPlainValue } from '../quantity/plain.ts';
import { once } from '../fault/memo.ts';
import { lastingKept, lastingOf, type LastingStatus, type Kept } from './lasting.ts';
import { countRead, isRead, jobIn, laidUp, laidUpJobs, type LaidUp, type Trait } from './jobs.ts';
import type { BuildState } from './state.ts';
import { traits } from './traits.ts';

/*
 * The whole build as lines of text, so that opening a state need not go through its history again. The first line has everything but
 * jobs, logs and temperatures. The second has the statuses of the jobs that are over (`lasting.ts`). Then come the plans that jobs follow (many jobs follow the same one), the rows of each imported log, the
 * temperatures typed for each place, and two lines for each job: its state, and its story, which most readers of a job do not need. Each further line is read only when somebody asks for it. What no
 * entry has changed since is not made into text again: its line is named by its number in the snapshot before.
 */

type Rest = Omit<BuildState, 'jobs' | 'logs' | 'temperatures'>;

type Logs = BuildState['logs'];

interface Contents extends Rest {
  /** How many plans follow, one a line. */
  readonly plans: number;
  /** The imports of each place, without their rows. */
  readonly logs: Readonly<Record<string, readonly Omit<LogMark, 'rows'>[]>>;
  /** The places with typed temperatures, of which each has a line. */
  readonly places: readonly string[];
  /** The number of the plan (from 0) that each job follows, in the order of `jobOrder`. */
  readonly follows: readonly number[];
  /** The letters of the traits that each job has, in the order of `jobOrder`. */
  readonly traits: readonly string[];
}

/** A letter in place of the traits that depend on build.yaml, where they are not known. */
const unknown = '?';

/** The letters of a job's traits. A job that is laid up is not read for it. */
const traitsOf = ({ jobs, file }: BuildState, id: string): string => {
  const laid = laidUp(jobs, id);
  if (laid?.file === file) return laid.traits;
  if (laid !== undefined && !isRead(jobs, id)) return `${withoutByFile(laid.traits)}${unknown}`;
  const job = jobIn(jobs, id);
  const holds = (trait: Trait): boolean => job !== undefined && trait.holds(job, file);
  return traits
    .filter(holds)
    .map(({ letter }) => letter)
    .join('');
};

const withoutByFile = (letters: string): string =>
  traits
    .filter(({ letter, isByFile }) => !isByFile && letters.includes(letter))
    .map(({ letter }) => letter)
    .join('');

type LastingList = readonly (LastingStatus | null)[];

/** The status of each job that is over, null for any other, in the order of `jobOrder`. A job that is not in memory is not read for it. */
const lastingStatuses = (state: BuildState): LastingList =>
  state.jobOrder.map((id) => (isRead(state.jobs, id) ? lastingOf(state, id) : lastingKept(state, id)) ?? null);

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

/** The numbers of the line with the statuses, and of the first plan. */
const [lastingLine, firstPlan] = [1, 2];

type Temperatures = BuildState['temperatures'];

/** A table whose values are read when somebody first asks for them. */
const laidUpTable = <Value>(reads: readonly (readonly [key: string, read: () => Value])[]): Record<string, Value> => {
  const table: Record<string, Value> = {};
  for (const [key, get] of reads) Object.defineProperty(table, key, { get, enumerable: true, configurable: true });
  return table;
};

const textOf = (value: unknown): string => JSON.stringify(value, toPlainValue);

const read = (text: string): unknown => JSON.parse(text, fromPlainValue);

const mapLogs = <From, To>(
  logs: Readonly<Record<string, readonly From[]>>,
  change: (mark: From) => To,
): Readonly<Record<string, readonly To[]>> =>
  Object.fromEntries(Object.entries(logs).map(([place, marks]) => [place, marks.map(change)]));

const withoutRows = (logs: Logs): Contents['logs'] => mapLogs(logs, ({ rows: _rows, ...mark }) => mark);

/** Where a build that was restored has its parts: the numbers of lines, counted from 0. */
export interface Laid {
  /** The statuses of the jobs that were over, and the build.yaml in force; absent where nothing was restored. */
  readonly lasting?: () => LastingList;
  readonly file?: BuildState['file'];
  /** Of a plan that has been read; `undefined` for any other. */
  readonly plan: (plan: Plan) => number | undefined;
  readonly rows: (rows: LogMark['rows']) => number | undefined;
  /** Of the temperatures of a place, if they are in the table as they were laid up, read or not. */
  readonly temperatures: (table: Temperatures, place: string) => number | undefined;
  /** Of a job, with its story one behind it, and of the plan that it follows. */
  readonly job: (id: string) => { readonly line: number; readonly plan: number } | undefined;
}

const nothingLaid: Laid = {
  plan: () => undefined,
  rows: () => undefined,
  temperatures: () => undefined,
  job: () => undefined,
};

/**
 * The build as lines of text; no line contains a line feed. A number in place of a text is that of the line that says the same in the
 * snapshot before. @param laid of the snapshot that the build was restored from.
 */
export const serializeAfter = (state: BuildState, laid: Laid): readonly (string | number)[] => {
  const { jobs, logs, temperatures, ...rest } = state;
  const plans = new Map<Plan | number, number>();
  const numberOf = (plan: Plan | number): number => {
    if (!plans.has(plan)) plans.set(plan, plans.size);
    return plans.get(plan) ?? 0;
  };
  const follows: number[] = [];
  const texts: (string | number)[] = [];
  for (const id of state.jobOrder) {
    const same = laidUp(jobs, id) === undefined ? undefined : laid.job(id);
    if (same !== undefined) {
      follows.push(numberOf(same.plan));
      texts.push(same.line, same.line + 1);
      continue;
    }
    const job = jobIn(jobs, id);
    if (job === undefined) throw new RangeError(`no job ${id}`);
    const { plan, log, remarks, ...own } = job;
    follows.push(numberOf(laid.plan(plan) ?? plan));
    const story: Story = { log, remarks };
    texts.push(textOf(own), textOf(story));
  }
  const places = Object.keys(temperatures);
  const contents: Contents = {
    ...rest,
    logs: withoutRows(logs),
    places,
    plans: plans.size,
    follows,
    traits: state.jobOrder.map((id) => traitsOf(state, id)),
  };
  const rows = Object.values(logs).flatMap((marks) =>
    marks.map((mark) => laid.rows(mark.rows) ?? rowsText(mark.rows())),
  );
  const planLines = [...plans.keys()].map((plan) => (typeof plan === 'number' ? plan : textOf(plan)));
  const marks = places.map((place) => laid.temperatures(temperatures, place) ?? textOf(temperatures[place]));
  return [textOf(contents), lastingText(state, laid), ...planLines, ...rows, ...marks, ...texts];
};

/** The line with the statuses; its number in the snapshot before, where nothing new is known of any job. */
const lastingText = (state: BuildState, laid: Laid): string | number => {
  const [lasting, before] = [lastingStatuses(state), laid.lasting?.()];
  const isSame = before?.length === lasting.length && before.every((one, index) => one === lasting[index]);
  return isSame ? lastingLine : JSON.stringify(lasting);
};

/** From how many jobs on that were read a session may know more of them than the snapshot does. */
const many = 64;

/** True where so much was worked out again that the next session should not have to, even if nothing was entered. */
export const isWiser = (state: BuildState, laid: Laid): boolean =>
  countRead(state.jobs) >= many && (laid.file !== state.file || typeof lastingText(state, laid) === 'string');

/** The build as lines of text; no line contains a line feed. */
export const serialize = (state: BuildState): readonly string[] =>
  serializeAfter(state, nothingLaid).filter((line) => typeof line === 'string');

/** The build from the lines that `serialize` wrote, and where it has its parts. @param line gives the line with a number, from 0. */
export const restoreLaid = (line: (number: number) => string): { readonly state: BuildState; readonly laid: Laid } => {
  const { plans: count, follows, logs: marks, places, traits: letters, ...rest } = read(line(0)) as Contents;
  const [planLines, rowsLines] = [new Map<Plan, number>(), new Map<LogMark['rows'], number>()];
  const plans = Array.from({ length: count }, (_, index) =>
    once(() => {
      const plan = read(line(firstPlan + index)) as Plan;
      planLines.set(plan, firstPlan + index);
      return plan;
    }),
  );
  let next = firstPlan + count;
  const logs = mapLogs(marks, (mark): LogMark => {
    const number = next++;
    const rows = once(() => rowsIn(line(number)));
    rowsLines.set(rows, number);
    return { ...mark, rows };
  });
  const [lists, getters] = [new Map<readonly TemperatureMark[], number>(), new Map<() => unknown, number>()];
  const temperatures = laidUpTable(
    places.map((place) => {
      const number = next++;
      const get = once(() => {
        const list = read(line(number)) as readonly TemperatureMark[];
        lists.set(list, number);
        return list;
      });
      getters.set(get, number);
      return [place, get] as const;
    }),
  );
  const firstJob = next;
  const jobLines = new Map<string, { readonly line: number; readonly plan: number }>();
  const reads = rest.jobOrder.map((id, index) => {
    const [follow = -1, at] = [follows[index], firstJob + 2 * index];
    const plan = plans[follow];
    if (plan === undefined) throw new RangeError(`no plan of ${id}`);
    jobLines.set(id, { line: at, plan: firstPlan + follow });
    const story = once(() => read(line(at + 1)) as Story);
    const has = letters[index] ?? '';
    const laid: LaidUp = {
      read: () => jobWith(read(line(at)) as Own, plan(), story),
      traits: has,
      ...(has.endsWith(unknown) ? {} : { file: rest.file }),
      kept: () => keptOf(lasting()[index]),
    };
    return [id, laid] as const;
  });
  // Statuses hold words alone, and no exact numbers that would have to be looked for.
  const lasting = once(() => JSON.parse(line(lastingLine)) as LastingList);
  const keptOf = (one: LastingStatus | null | undefined): Kept | undefined =>
    one ? { state, lasting: one } : undefined;
  const state: BuildState = { ...rest, logs, temperatures, jobs: laidUpJobs(reads) };
  return {
    state,
    laid: {
      lasting,
      file: rest.file,
      plan: (plan) => planLines.get(plan),
      rows: (rows) => rowsLines.get(rows),
      temperatures: (table, place) => {
        const found = Object.getOwnPropertyDescriptor(table, place);
        return found?.get === undefined
          ? lists.get(found?.value as readonly TemperatureMark[])
          : getters.get(found.get);
      },
      job: (id) => jobLines.get(id),
    },
  };
};

/** The build from the lines that `serialize` wrote. @param line gives the line with a number, counted from 0. */
export const restore = (line: (number: number) => string): BuildState => restoreLaid(line).state;
