import type { RestingOn } from '../job/surroundings.ts';
import type { Contradiction } from '../job/contradiction.ts';
import type { JobState } from '../job/state.ts';
import type { Step } from '../procedure/model.ts';
import { shared, startedAfter, whyOver } from './over.ts';
import { jobOf, openContradictions, type BuildState } from './state.ts';

/** The steps of a job that a contradiction puts in doubt: the step concerned and all later ones; where no step is named, all of them. */
const shaken = (job: JobState, { step }: Contradiction): readonly Step[] => {
  const from = job.plan.steps.findIndex((one) => one.step === step);
  return job.plan.steps.slice(Math.max(0, from));
};

/**
 * Why a step depends on another job: it must reach an area which that job covered or opened, or its twin reading on another side has its
 * value there.
 */
const whyBeside = (step: Step, job: JobState, below: JobState, ground: Step): string | undefined => {
  const area = shared(step.reaches, [...ground.covers, ...ground.uncovers]);
  if (area !== undefined) return `must reach ${area}, which ${ground.step} of ${below.id} covers or uncovers`;
  const twin = step.readings.find((reading) => 'twin' in reading && reading.twin !== undefined)?.reading;
  const isTwin = twin !== undefined && ground.step === step.step && below.procedure === job.procedure;
  return isTwin && below.side !== job.side ? `is held against its twin, ${twin} of ${below.id}` : undefined;
};

const whyRests = (step: Step, job: JobState, below: JobState, one: Contradiction): string | undefined => {
  for (const ground of shaken(below, one)) {
    const why = whyOver(step, job, { job: below, step: ground }) ?? whyBeside(step, job, below, ground);
    if (why !== undefined) return why;
  }
  return startedAfter(job, { job: below, from: -Infinity })
    ? `comes after ${below.procedure}, in ${below.id}`
    : undefined;
};

/** What contradicts other machines in other jobs, unsettled, and is something on which a step of this job depends. */
export const contradictionsUnder = (state: BuildState, job: JobState, step: Step): readonly RestingOn[] =>
  openContradictions(state).flatMap((contradiction) => {
    const below = contradiction.job === job.id ? undefined : jobOf(state, contradiction.job);
    const why = below && whyRests(step, job, below, contradiction);
    return why === undefined ? [] : [{ contradiction, why: `${step.step} ${why}` }];
  });
