import { firstRefusal } from '../../fault/codes.ts';
import { err, ok, refusal, usage, type Fault, type Refusal } from '../../fault/fault.ts';
import { memoisedBy } from '../../fault/memo.ts';
import { contradictionText } from '../../job/contradiction.ts';
import { startJob } from '../../job/evolve.ts';
import { isClosed } from '../../job/where.ts';
import type { After, Procedure } from '../../procedure/model.ts';
import { planFor } from '../../procedure/plan.ts';
import { addMonths, endOfDay, parseDay, parseInstant, type Instant } from '../../quantity/time.ts';
import type { BeforeLine } from '../file.ts';
import { withJob } from '../jobs.ts';
import { jobOf, jobsOfProcedure, jobsWith, openContradictions, type BuildState } from '../state.ts';
import { underWay } from '../traits.ts';
import { taken, unknownIn, type BuildAct } from './act.ts';
import { notCorrected } from '../../job/acts/correctable.ts';

/**
 * Whether an earlier procedure was completed recently enough.
 * @param since when it was completed, ms since 1970.
 * @param offset minutes east of UTC, by which the months are counted.
 * @param at the instant of the start, ms since 1970.
 */
const isFresh = (since: number, offset: number, after: After, at: number): boolean =>
  !after.notOlder || addMonths(since, offset, after.notOlder.months) + after.notOlder.ms >= at;

const isFreshLine = (line: BeforeLine, after: After, at: Instant): boolean => {
  const day = parseDay(line.date);
  return day.ok && isFresh(endOfDay(day.value, at.offset), at.offset, after, at.ms);
};

/**
 * An earlier procedure counts as done when it was completed (on this side, or on all its sides), or when `before-dryfit` in build.yaml
 * names it.
 */
const isDoneBefore = (state: BuildState, after: After, side: string | undefined, at: Instant): boolean => {
  const lines = state.file.beforeDryfit.filter(
    (line) => line.procedure === after.procedure && isFreshLine(line, after, at),
  );
  if (lines.some((line) => line.each === undefined || line.each === side)) return true;
  const done = jobsOfProcedure(state, after.procedure).filter((job) => {
    const completed = job.completed ? parseInstant(job.completed.when) : undefined;
    return isClosed(job) && completed?.ok === true && isFresh(completed.value.ms, completed.value.offset, after, at.ms);
  });
  const sides = done[0]?.plan.each ?? [];
  if (done.length === 0 || sides.length === 0) return done.length > 0;
  const wanted = side !== undefined && sides.includes(side) ? [side] : sides;
  return wanted.every((one) => done.some((job) => job.side === one) || lines.some((line) => line.each === one));
};

const earlierRefusals = (
  state: BuildState,
  procedure: Procedure,
  side: string | undefined,
  at: Instant,
): readonly Refusal[] =>
  procedure.after
    .filter((after) => !isDoneBefore(state, after, side, at))
    .map((after) =>
      refusal(
        'earlier-procedure',
        `${procedure.procedure} comes after ${after.procedure}${after.notOlder ? `, not older than ${after.notOlder.text}` : ''}`,
        `complete ${after.procedure} first, or enter in build.yaml (before-dryfit) that it was done`,
      ),
    );

/** A procedure cannot be started while the story of one of its jobs has a contradiction that nobody has settled. */
const contradictedRefusals = (state: BuildState, procedure: Procedure): readonly Refusal[] =>
  openContradictions(state)
    .filter(({ job }) => procedure.after.some((after) => after.procedure === jobOf(state, job)?.procedure))
    .map((one) =>
      refusal('contradiction', contradictionText(one), `settle it: settle ${one.entry.id} keep=yes, or keep=no`),
    );

const sideFault = (procedure: Procedure, side: string | undefined): Fault | undefined => {
  if (procedure.each.length === 0)
    return side === undefined
      ? undefined
      : usage('field-unknown', `${procedure.procedure} has no sides`, 'leave each out');
  if (side === undefined)
    return usage(
      'field-missing',
      `${procedure.procedure} is done for each of ${procedure.each.join(', ')}`,
      'say which (each)',
    );
  return procedure.each.includes(side) ? undefined : unknownIn('side', side, procedure.each);
};

/** Jobs that follow the same text for the same side share one plan object, which saves memory and time. */
const sharedPlan = memoisedBy((procedure: Procedure, side: string | undefined) => planFor(procedure, side));

/** Starts a job of a procedure. The workshop brings the procedure's exact text. */
export const startAct: BuildAct<'start'> = {
  decide: (ask) => {
    const { state, data, at, library } = ask;
    const procedure = library.procedure(data.sha256);
    if (!procedure.ok) return procedure;
    const side = data.each;
    const fault = sideFault(procedure.value, side);
    if (fault) return err(fault);
    const refused = firstRefusal([
      ...earlierRefusals(state, procedure.value, side, at),
      ...contradictedRefusals(state, procedure.value),
    ]);
    if (refused) return err(refused);
    const open = jobsWith(state, underWay).filter(
      (job) => job.procedure === procedure.value.procedure && job.side === side,
    );
    const told = open.map((job) => `${job.id} is open too`);
    return taken(ask, {}, told);
  },
  evolve: (state, entry, { library }) => {
    const { sha256, each } = entry.data;
    const procedure = library.procedure(sha256);
    if (!procedure.ok) return procedure;
    const job = startJob(entry, sharedPlan(procedure.value, each), sha256);
    return ok({ ...state, jobs: withJob(state.jobs, job), jobOrder: [...state.jobOrder, job.id] });
  },
  words: () => undefined,
  correct: notCorrected('withdraw the job, or start the right procedure'),
};
