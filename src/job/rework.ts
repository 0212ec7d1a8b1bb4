import type { Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import type { DispositionKind } from './judged.ts';
import type { JobState } from './state.ts';
import { stepStateOf } from './step-state.ts';

const touched = (job: JobState, step: Step): boolean => {
  const state = stepStateOf(job, step.step);
  return state.state === 'done' || state.begun !== undefined;
};

const leansOn = (step: Step, other: Step): boolean =>
  step.inPotLifeOf.includes(other.step) ||
  (step.cure?.of.includes(other.step) ?? false) ||
  (step.break?.of.includes(other.step) ?? false) ||
  (step.afterStage?.cures.includes(other.step) ?? false) ||
  (step.noLaterThan?.after.includes(other.step) ?? false) ||
  (step.cure !== undefined && other.inPotLifeOf.some((mix) => step.cure?.of.includes(mix))) ||
  step.reliesOn.some((feature) => other.sets.includes(feature) || other.proves.includes(feature));

/** A step that is taken apart again, and every later begun or finished step that depends on it. */
export const dependentSteps = (job: JobState, id: string): readonly Step[] => {
  const first = stepOf(job.plan, id);
  if (!first) return [];
  const reopened: Step[] = [first];
  for (const step of job.plan.steps.slice(job.plan.steps.indexOf(first) + 1))
    if (touched(job, step) && reopened.some((other) => leansOn(step, other))) reopened.push(step);
  return reopened;
};

/**
 * Where the work begins again. Rework: at `back-to`, else at the step itself. Scrap, which means a new part: at `back-to`, else at the
 * first step.
 */
export const reworkStart = (job: JobState, id: string, kind: DispositionKind): Step | undefined => {
  const step = stepOf(job.plan, id);
  const back = step?.backTo === undefined ? undefined : stepOf(job.plan, step.backTo);
  return back ?? (kind === 'scrap' ? job.plan.steps[0] : step);
};

/** The steps to be done anew: from where the rework begins to the step where the fault was found, and those that depend on them. */
export const reworkSteps = (job: JobState, id: string, kind: DispositionKind): readonly Step[] => {
  const step = stepOf(job.plan, id);
  const start = reworkStart(job, id, kind);
  if (!step || !start) return [];
  const [from, to] = [job.plan.steps.indexOf(start), job.plan.steps.indexOf(step)];
  const between = job.plan.steps.slice(Math.min(from, to), to + 1);
  const leaning = between.flatMap((one) => dependentSteps(job, one.step));
  return job.plan.steps.filter((one) => between.includes(one) || leaning.includes(one));
};
