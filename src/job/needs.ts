import type { Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import type { JobState } from './state.ts';
import { isNotDone, isOwed, isSkipped, stepApplies, stepStateOf } from './step-state.ts';

/*
 * Rule 10 of the design: a step that needs another one waits with it. Spreading needs the mix, a cure needs what was spread, breaking needs
 * the batch, and `after-stage` needs the cure.
 */

/** A step that another one needs and that was left for later. */
export interface Needed {
  readonly step: Step;
  readonly tag: string;
  readonly isNotDone: boolean;
}

/** The lists of steps that a step needs. Of each list, all that are still to come, and at least one that was done. */
const needsOf = ({ inPotLifeOf, cure, break: sample, afterStage }: Step): readonly (readonly string[])[] =>
  [inPotLifeOf, cure?.of ?? [], sample?.of ?? [], afterStage?.cures ?? []].filter((list) => list.length > 0);

/** The steps whose finish begins a cure: those in the pot life of its mixes. */
const gluedFor = (job: JobState, { cure }: Step): readonly string[] =>
  cure === undefined
    ? []
    : job.plan.steps.filter((one) => one.inPotLifeOf.some((mix) => cure.of.includes(mix))).map((one) => one.step);

/** The steps left for later without which this one cannot be done, in the order of the procedure. */
export const neededAbove = (job: JobState, step: Step): readonly Needed[] => {
  const glued = gluedFor(job, step);
  const lists = [...needsOf(step), ...(glued.length > 0 ? [glued] : [])];
  const missing = lists.flatMap((list) => {
    const steps = list.flatMap((id) => stepOf(job.plan, id) ?? []).filter((one) => stepApplies(job, one));
    const owed = steps.filter((one) => isOwed(job, one));
    return owed.length > 0 || !steps.every((one) => isNotDone(job, one)) ? owed : steps;
  });
  return job.plan.steps
    .filter((one) => missing.includes(one))
    .map((one) => ({
      step: one,
      tag: stepStateOf(job, one.step).skip?.tag ?? '',
      isNotDone: isNotDone(job, one),
    }));
};

/** The later steps that wait with a step as long as it is left for later, and with those in turn. */
export const waitingWith = (job: JobState, left: Step): readonly Step[] => {
  const waiting: Step[] = [left];
  const later = job.plan.steps.slice(job.plan.steps.indexOf(left) + 1);
  for (const step of later.filter((one) => stepApplies(job, one) && !isSkipped(job, one))) {
    const ids = [...needsOf(step).flat(), ...gluedFor(job, step)];
    if (waiting.some((one) => ids.includes(one.step))) waiting.push(step);
  }
  return waiting.slice(1);
};
