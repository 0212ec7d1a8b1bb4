import type { JobState } from '../../job/state.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { currentStep, isInterrupted, isOver, isParked } from '../../job/where.ts';
import type { Step } from '../../procedure/model.ts';
import { jobById, jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { potLifeFor } from './pot-life.ts';
import { push, withoutAnswer, type Session } from './state.ts';

/** The last three finished steps, newest first: they are checked again after an interruption. */
export const lastSteps = (job: JobState): readonly Step[] =>
  job.plan.steps
    .filter((step) => stepStateOf(job, step.step).finished !== undefined)
    .slice(-3)
    .toReversed();

/** Whether to ask for the last steps to be checked again: once, where there are any, and never while a pot life runs. */
const asksBack = (session: Session, facts: BenchFacts, job: JobState): boolean =>
  !session.opened.includes(job.id) &&
  !isOver(job) &&
  currentStep(job) !== undefined &&
  !isParked(job) &&
  (lastSteps(job).length > 0 || isInterrupted(job)) &&
  potLifeFor(jobNow(facts, job)) === undefined;

export const openJob = (session: Session, facts: BenchFacts, id: string): Session => {
  const job = jobById(facts, id);
  if (!job) return session;
  const walk = push(withoutAnswer(session), { page: 'walk', job: id, scroll: 0 });
  const opened = { ...walk, opened: [...new Set([...session.opened, id])] };
  return asksBack(session, facts, job) ? push(opened, { page: 'back', job: id, ticked: [], scroll: 0 }) : opened;
};
