import type { JobState } from '../../job/state.ts';
import { stepStateOf } from '../../job/step-state.ts';
import type { Step } from '../../procedure/model.ts';
import { readingOf, resultOf } from '../../procedure/plan.ts';
import { jobsOf, type BuildState } from '../state.ts';
import type { Rest } from './rest.ts';
import { subjectOf, type StepSubject, type TraceSubject } from './subjects.ts';
import { trailsIn } from './trails.ts';

/** One thing on which a step rests, and by what: the way back from a joint or a value. */
export interface Under {
  readonly job: string;
  readonly step: string;
  readonly subject: TraceSubject;
  readonly by: readonly Rest[];
}

interface StepNamed {
  readonly job: JobState;
  readonly step: Step;
  readonly subject: StepSubject;
}

const stepSubject = (job: JobState, { step, title }: Step): StepSubject => ({
  kind: 'step',
  job: job.id,
  step,
  title,
  state: stepStateOf(job, step).state,
});

/** The steps of a job that a word names: a step, a reading or a result of it. */
const stepsIn = (job: JobState, word: string): readonly Step[] => {
  const own = job.plan.steps.filter(({ step, base }) => step === word || base === word);
  const held = readingOf(job.plan, word)?.step ?? resultOf(job.plan, word)?.step;
  return own.length > 0 || held === undefined ? own : [held];
};

/** The steps that a word means: `JOB`, `JOB STEP`, or a step, reading or result in every job that has it. */
export const stepsNamed = (state: BuildState, word: string): readonly StepNamed[] => {
  const [first = '', ...rest] = word.trim().split(/\s+/);
  return jobsOf(state).flatMap((job) => {
    const steps =
      job.id === first
        ? rest.length === 0
          ? job.plan.steps
          : stepsIn(job, rest.join(' '))
        : stepsIn(job, word.trim());
    return steps.map((step) => ({ job, step, subject: stepSubject(job, step) }));
  });
};

/** Everything on which a step rests. A lot that is named for no step stands under the whole job, and is not listed here. */
export const underStep = (state: BuildState, job: JobState, { step }: Step): readonly Under[] =>
  trailsIn(job).flatMap(({ of, rests }) => {
    const by = rests.filter((one) => one.step === step);
    return by.length === 0 ? [] : [{ job: job.id, step, subject: subjectOf(state, of), by }];
  });
