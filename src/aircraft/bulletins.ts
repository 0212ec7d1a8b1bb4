import type { JobState } from '../job/state.ts';
import type { Procedure } from '../procedure/model.ts';
import { jobsOf, type BuildState } from './state.ts';

/** A bulletin that somebody must still decide about. */
export interface BulletinStatus {
  readonly bulletin: string;
  /** The procedure that it is of. */
  readonly of: string;
  /** The procedure that answers it. */
  readonly procedure: string;
  /** Jobs of `of` at which it is not decided; empty where none is begun. */
  readonly jobs: readonly string[];
}

const isDecided = (job: JobState, bulletin: string): boolean =>
  job.resolutions.some(({ covers }) => covers.includes(`bulletin ${bulletin}`));

/** Carried out, or begun: a job of the procedure that answers it, on this side where it has sides. */
const isAnswered = (state: BuildState, procedure: string, side: string | undefined): boolean =>
  jobsOf(state).some(
    (job) => job.procedure === procedure && (job.side === undefined || side === undefined || job.side === side),
  );

/**
 * The bulletins among some procedures (`answers`) that are not decided: neither at the jobs of the procedure that they are of,
 * nor by a job of the procedure that answers them.
 */
export const bulletinsOf = (state: BuildState, procedures: readonly Procedure[]): readonly BulletinStatus[] =>
  procedures.flatMap(({ procedure, answers }) => {
    if (answers === undefined) return [];
    const { bulletin, of } = answers;
    const begun = jobsOf(state).filter((job) => job.procedure === of);
    const open = begun.filter((job) => !isDecided(job, bulletin) && !isAnswered(state, procedure, job.side));
    const isOpen = begun.length > 0 ? open.length > 0 : !isAnswered(state, procedure, undefined);
    return isOpen ? [{ bulletin, of, procedure, jobs: open.map(({ id }) => id) }] : [];
  });
