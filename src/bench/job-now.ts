import { jobIn } from '../aircraft/jobs.ts';
import { runningCures } from '../aircraft/status.ts';
import { aroundOf } from '../aircraft/surroundings.ts';
import { memoisedBy, once } from '../fault/memo.ts';
import type { Moment } from '../job/moment.ts';
import { next } from '../job/next.ts';
import type { Want } from '../job/next/want.ts';
import type { JobState } from '../job/state.ts';
import type { Surroundings } from '../job/surroundings.ts';
import type { BenchFacts } from './ports.ts';
import { stepsNow } from './steps-now.ts';

/** A job as the bench sees it at one moment. */
export interface JobNow {
  readonly facts: BenchFacts;
  readonly job: JobState;
  readonly around: Surroundings;
  /** This moment, with whoever is signed on, as the rules need it. */
  readonly moment: Moment;
  /** The cures that run; worked out when first asked for, since several parts of one screen show them. */
  readonly cures: () => ReturnType<typeof runningCures>;
  /** What the open step still wants of whoever is at the bench, in order; worked out when first asked for. */
  readonly wants: () => readonly Want[];
}

/** One screen and one key ask for the same job many times: it is worked out once for each set of facts. */
export const jobNow = memoisedBy((facts: BenchFacts, job: JobState): JobNow => {
  const around = aroundOf(facts.build, job, facts.now.ms);
  const { ms, offset } = facts.now;
  const moment: Moment = { around, ms, offset, by: facts.by ?? '', with: [] };
  const wants = (): readonly Want[] => {
    const step = stepsNow(job).open;
    return step ? next(job, step, moment).wants : [];
  };
  return { facts, job, around, moment, cures: once(() => runningCures(job, around, ms)), wants: once(wants) };
});

/** The job with this id, where there is one. */
export const jobById = (facts: BenchFacts, id: string | undefined): JobState | undefined =>
  id === undefined ? undefined : jobIn(facts.build.jobs, id);
