import type { JobState } from '../job/state.ts';
import { isClosed, isWithdrawn } from '../job/where.ts';
import type { Procedure } from '../procedure/model.ts';
import { jobsOfProcedure, type BuildState } from './state.ts';

/** A maker's bulletin about which somebody must still decide, or that must still be carried out. */
export interface BulletinStatus {
  readonly bulletin: string;
  /** The procedure that the bulletin is about. */
  readonly of: string;
  /** The procedure to carry out so as to comply with the bulletin. */
  readonly procedure: string;
  /** Jobs of `of` for which nobody has decided about the bulletin; empty where no job is begun. */
  readonly jobs: readonly string[];
  /** Jobs of `of` that comply with the bulletin, as long as no job that answers it is complete. */
  readonly toCarryOut: readonly string[];
}

/** A bulletin, the procedure that it is about, and the procedure that answers it. */
export interface Answering {
  readonly bulletin: string;
  readonly of: string;
  readonly procedure: string;
}

const sidesMeet = (one: string | undefined, other: string | undefined): boolean =>
  one === undefined || other === undefined || one === other;

/** True where a job of the answering procedure is complete for this side, or the procedure was done before dryfit. */
export const isCarriedOut = (state: BuildState, procedure: string, side: string | undefined): boolean =>
  state.file.beforeDryfit.some((line) => line.procedure === procedure && sidesMeet(line.each, side)) ||
  jobsOfProcedure(state, procedure).some((job) => sidesMeet(job.side, side) && isClosed(job));

const isBegun = (state: BuildState, procedure: string, side: string | undefined): boolean =>
  jobsOfProcedure(state, procedure).some((job) => sidesMeet(job.side, side) && !isWithdrawn(job));

export type BulletinStanding = 'not decided' | 'to carry out' | 'settled';

/** Where a job stands with a bulletin. To comply, and to begin the answering job, leaves it open until that job is complete. */
export const standingOf = (state: BuildState, { bulletin, procedure }: Answering, job: JobState): BulletinStanding => {
  const decision = job.resolutions.findLast(({ covers }) => covers.includes(`bulletin ${bulletin}`))?.kind;
  if (decision === 'not-applicable' || decision === 'record-only') return 'settled';
  if (isCarriedOut(state, procedure, job.side)) return 'settled';
  return decision === 'comply' || isBegun(state, procedure, job.side) ? 'to carry out' : 'not decided';
};

/** The jobs that a bulletin is about. */
export const jobsConcerned = (state: BuildState, { of }: Pick<Answering, 'of'>): readonly JobState[] =>
  jobsOfProcedure(state, of).filter((job) => !isWithdrawn(job));

/** The bulletins in these procedures (field `answers`) that are still to be decided, or to be carried out. */
export const bulletinsOf = (
  state: BuildState,
  procedures: readonly Pick<Procedure, 'procedure' | 'answers'>[],
): readonly BulletinStatus[] =>
  procedures.flatMap(({ procedure, answers }) => {
    if (answers === undefined) return [];
    const answering = { ...answers, procedure };
    const begun = jobsConcerned(state, answering);
    const standing = (wanted: BulletinStanding): readonly string[] =>
      begun.filter((job) => standingOf(state, answering, job) === wanted).map(({ id }) => id);
    const [jobs, toCarryOut] = [standing('not decided'), standing('to carry out')];
    const isOpen = begun.length > 0 ? jobs.length + toCarryOut.length > 0 : !isCarriedOut(state, procedure, undefined);
    return isOpen ? [{ ...answering, jobs, toCarryOut }] : [];
  });
