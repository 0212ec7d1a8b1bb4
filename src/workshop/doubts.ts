import { aroundOf } from '../aircraft/surroundings.ts';
import { jobsOf, type BuildState } from '../aircraft/state.ts';
import { nonconformances } from '../job/nonconformances.ts';

/** An open nonconformance of one of the build's jobs. */
export interface InDoubt {
  readonly job: string;
  readonly step: string;
  readonly what: string;
}

/** Every open nonconformance of the build. */
export const inDoubt = (state: BuildState): readonly InDoubt[] =>
  jobsOf(state).flatMap((job) =>
    nonconformances(job, aroundOf(state, job, state.lastAt))
      .filter(({ open }) => open)
      .map(({ step, what }) => ({ job: job.id, step, what })),
  );

/** Those of the first list that are not in the second. */
export const missingIn = (some: readonly InDoubt[], all: readonly InDoubt[]): readonly InDoubt[] =>
  some.filter((one) => !all.some(({ job, what }) => job === one.job && what === one.what));

/**
 * What an entry puts in doubt that says something of what is past: a correction, what was found on a tool, a temperature of an earlier time.
 * Other entries are about what happens now, and their own act says what follows. They are too frequent to search the whole build each time.
 * @param own the job that the entry belongs to; other jobs are named.
 */
export const toldOfDoubts = (
  before: BuildState,
  after: BuildState,
  { type, when, own }: { readonly type: string; readonly when: string | undefined; readonly own: string },
): readonly string[] => {
  const isOfPast = type === 'correct' || type === 'tool' || (type === 'temperature' && when !== undefined);
  if (!isOfPast) return [];
  const [was, is] = [inDoubt({ ...before, lastAt: after.lastAt }), inDoubt(after)];
  const named =
    (label: string) =>
    ({ job, what }: InDoubt) =>
      `${label}${job === own ? '' : ` in ${job}`}: ${what}`;
  return [
    ...missingIn(is, was).map(named('nonconformance')),
    ...missingIn(was, is).map(named('no longer a nonconformance')),
  ];
};
