import type { JobState } from '../job/state.ts';
import { isWithdrawn } from '../job/where.ts';
import type { Procedure } from '../procedure/model.ts';
import { jobsOf, type BuildState } from './state.ts';

/** A maker's bulletin about which somebody must still decide. */
export interface BulletinStatus {
  readonly bulletin: string;
  /** The procedure that the bulletin is about. */
  readonly of: string;
  /** The procedure to carry out so as to comply with the bulletin. */
  readonly procedure: string;
  /** Jobs of `of` for which nobody has decided about the bulletin; empty where no job is begun. */
  readonly jobs: readonly string[];
}

const isDecided = (job: JobState, bulletin: string): boolean =>
  job.resolutions.some(({ covers }) => covers.includes(`bulletin ${bulletin}`));

/** Whether a job of the answering procedure exists, begun or complete, for this side where it has sides. */
const isAnswered = (state: BuildState, procedure: string, side: string | undefined): boolean =>
  jobsOf(state).some(
    (job) =>
      job.procedure === procedure &&
      !isWithdrawn(job) &&
      (job.side === undefined || side === undefined || job.side === side),
  );

/**
 * The bulletins in these procedures (field `answers`) that are still to be decided: no job of the procedure concerned has a decision, and
 * no job carries out the answering procedure.
 */
export const bulletinsOf = (state: BuildState, procedures: readonly Procedure[]): readonly BulletinStatus[] =>
  procedures.flatMap(({ procedure, answers }) => {
    if (answers === undefined) return [];
    const { bulletin, of } = answers;
    const begun = jobsOf(state).filter((job) => job.procedure === of && !isWithdrawn(job));
    const open = begun.filter((job) => !isDecided(job, bulletin) && !isAnswered(state, procedure, job.side));
    const isOpen = begun.length > 0 ? open.length > 0 : !isAnswered(state, procedure, undefined);
    return isOpen ? [{ bulletin, of, procedure, jobs: open.map(({ id }) => id) }] : [];
  });
