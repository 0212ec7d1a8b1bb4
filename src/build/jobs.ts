import type { JobState } from '../job/state.ts';

/*
 * A build of years has thousands of jobs, nearly all of them complete. Each new entry changes one: so they lie in drawers,
 * and a new state copies one drawer and not the whole. One that comes out of a snapshot is read when it is first asked for.
 */

interface Slot {
  /** Missing until it is first asked for. */
  job?: JobState;
  readonly read?: () => JobState;
}

/** The jobs of a build, by id. Never changed in place. */
export type Jobs = Readonly<Record<string, Readonly<Record<string, Slot>>>>;

export const noJobs: Jobs = {};

/** The last two digits of the hash in its id: any 256 jobs fall evenly. */
const drawerOf = (id: string): string => id.slice(-2);

const slotIn = (jobs: Jobs, id: string): Slot | undefined => {
  const drawer = Object.hasOwn(jobs, drawerOf(id)) ? jobs[drawerOf(id)] : undefined;
  return drawer !== undefined && Object.hasOwn(drawer, id) ? drawer[id] : undefined;
};

const withSlot = (jobs: Jobs, id: string, slot: Slot): Jobs => ({
  ...jobs,
  [drawerOf(id)]: { ...jobs[drawerOf(id)], [id]: slot },
});

export const hasJob = (jobs: Jobs, id: string): boolean => slotIn(jobs, id) !== undefined;

export const jobIn = (jobs: Jobs, id: string): JobState | undefined => {
  const slot = slotIn(jobs, id);
  if (slot?.job === undefined && slot?.read !== undefined) slot.job = slot.read();
  return slot?.job;
};

export const withJob = (jobs: Jobs, job: JobState): Jobs => withSlot(jobs, job.id, { job });

/** Jobs that are read when they are first asked for. */
export const laidUpJobs = (reads: readonly (readonly [id: string, read: () => JobState])[]): Jobs => {
  const jobs: Record<string, Record<string, Slot>> = {};
  for (const [id, read] of reads) (jobs[drawerOf(id)] ??= {})[id] = { read };
  return jobs;
};

/** True where nothing has touched the job between two states of one build. */
export const isSameJob = (a: Jobs, b: Jobs, id: string): boolean => slotIn(a, id) === slotIn(b, id);
