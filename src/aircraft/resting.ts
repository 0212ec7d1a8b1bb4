import type { RestingOn } from '../job/surroundings.ts';
import type { Contradiction } from '../job/contradiction.ts';
import type { JobState } from '../job/state.ts';
import type { Step } from '../procedure/model.ts';
import { shared, startedAfter, whyOver } from './over.ts';
import { jobOf, openContradictions, type BuildState } from './state.ts';

/** The steps of a job that a contradiction shakes: the one that it is about and all after it; all of them where it is about none. */
const shaken = (job: JobState, { step }: Contradiction): readonly Step[] => {
  const from = job.plan.steps.findIndex((one) => one.step === step);
  return job.plan.steps.slice(Math.max(0, from));
};

/** A step that must get at an area rests on whatever closed it or laid it open; one whose twin is on another side, on the value there. */
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

/** What a step of one job rests on in others that contradicts what was done elsewhere, and is not settled. */
export const contradictionsUnder = (state: BuildState, job: JobState, step: Step): readonly RestingOn[] =>
  openContradictions(state).flatMap((contradiction) => {
    const below = contradiction.job === job.id ? undefined : jobOf(state, contradiction.job);
    const why = below && whyRests(step, job, below, contradiction);
    return why === undefined ? [] : [{ contradiction, why: `${step.step} ${why}` }];
  });
