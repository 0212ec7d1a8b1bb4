import { castDraft, produce } from 'immer';
import type { JobEntry } from '../job/entry.ts';
import { loggedOf, reopenJob, stampOf, stepDraft } from '../job/draft.ts';
import { twinText, twinsApart } from '../job/parts/twin.ts';
import type { JobState } from '../job/state.ts';
import { stepStateOf } from '../job/step-state.ts';
import { isWithdrawn } from '../job/where.ts';
import { withJob } from './jobs.ts';
import { jobOf, type BuildState } from './state.ts';
import { aroundOf } from './surroundings.ts';

/** The verbs that may give a side of a twin another value, or take its value away. */
const changing: ReadonlySet<string> = new Set(['read', 'correct', 'undo', 'dispose', 'discard', 'settle', 'withdraw']);

/** A step of one side whose twin is open again: it must be finished anew, and a job that was complete is open. */
const reopened = (job: JobState, step: string, entry: JobEntry, because: string): JobState =>
  produce(job, (draft) => {
    const state = stepDraft(draft, step);
    state.state = 'todo';
    delete state.finished;
    state.reopened.push({ ...stampOf(entry), because });
    reopenJob(draft, entry);
    if (draft.log.at(-1)?.entry !== entry.id) draft.log.push(castDraft({ ...loggedOf(entry), job: entry.job }));
  });

/**
 * A later change on any side opens a twin again, on all sides, where the sides now differ by more than the limits. Nothing else of the other
 * side changes: its own values and the releases of them stand.
 */
export const withOpenTwins = (state: BuildState, entry: JobEntry): BuildState => {
  const changed = changing.has(entry.type) ? jobOf(state, entry.job) : undefined;
  if (changed?.side === undefined) return state;
  // A job that is withdrawn leaves its side to another job of that side, whose values the other sides then have beside them.
  const job = isWithdrawn(changed) ? aroundOf(state, changed, state.lastAt).otherSides[0] : changed;
  if (job === undefined) return state;
  const around = aroundOf(state, job, state.lastAt);
  let after = state;
  for (const { step } of job.plan.steps) {
    const [apart] = twinsApart(job, step, around);
    if (!apart) continue;
    for (const side of [job, ...around.otherSides]) {
      const now = jobOf(after, side.id) ?? side;
      if (stepStateOf(now, step).state !== 'done') continue;
      after = { ...after, jobs: withJob(after.jobs, reopened(now, step, entry, twinText(apart))) };
    }
  }
  return after;
};
