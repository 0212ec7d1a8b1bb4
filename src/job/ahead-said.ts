import { commitsOf } from '../procedure/ahead.ts';
import type { Step } from '../procedure/model.ts';
import { readingOf, stepOf } from '../procedure/plan.ts';
import { permanentCard } from './ahead.ts';
import type { AskedOf } from './entry.ts';
import type { JobState } from './state.ts';
import { stepApplies, stepStateOf } from './step-state.ts';
import type { Surroundings } from './surroundings.ts';
import type { JobVerb } from './verbs.ts';
import { currentStep } from './where.ts';

/** The verbs whose first entry on a step begins it. */
type Opener = 'begin' | 'finish' | 'read' | 'tighten' | 'mix' | 'break' | 'photo' | 'release' | 'refuse' | 'reinspect';

/** The step that counts as worked on when a sample is broken. */
export const stepOfBreak = (job: JobState, sample: string): string | undefined => {
  const current = currentStep(job);
  if (current?.break) return current.step;
  return job.batches.findLast((one) => one.sample !== undefined && (one.sample.id === sample || one.batch === sample))
    ?.step;
};

const onStep = (_job: JobState, { step }: { readonly step: string }): string => step;

const worksOn: { readonly [V in Opener]: (job: JobState, data: AskedOf<V>) => string | undefined } = {
  begin: onStep,
  finish: onStep,
  read: ({ plan }, { reading }) => readingOf(plan, reading)?.step.step,
  tighten: onStep,
  mix: onStep,
  break: (job, { sample }) => stepOfBreak(job, sample),
  photo: ({ plan }, { photo: id }) => plan.steps.find((step) => step.photos.some(({ photo }) => photo === id))?.step,
  release: onStep,
  refuse: onStep,
  reinspect: onStep,
};

const isOpener = (verb: string): verb is Opener => Object.hasOwn(worksOn, verb);

/** The step that an entry on it begins, if it was not begun; `undefined` for a verb that begins no step. */
export const stepWorkedOn = (job: JobState, verb: JobVerb, data: object): Step | undefined => {
  if (!isOpener(verb)) return undefined;
  // The table has for each verb a function of that very verb's data, which the compiler cannot follow.
  const id = (worksOn[verb] as (job: JobState, data: object) => string | undefined)(job, data);
  return id === undefined ? undefined : stepOf(job.plan, id);
};

const isToBegin = (job: JobState, { step }: Step): boolean => {
  const { begun, state } = stepStateOf(job, step);
  return begun === undefined && state !== 'done';
};

/**
 * The permanent steps to which an entry commits the builder: those that a cup of glue binds, and the step that it begins. A cup that is thrown
 * away commits to nothing.
 */
export const permanentOpenedBy = (job: JobState, verb: JobVerb, data: object): readonly Step[] => {
  const step = stepWorkedOn(job, verb, data);
  const isThrownAway = 'discarded' in data && data.discarded === true;
  if (!step || isThrownAway || !(verb === 'mix' || isToBegin(job, step))) return [];
  return commitsOf(job.plan, step).filter((one) => stepApplies(job, one) && isToBegin(job, one));
};

const inJob = (job: string | undefined): string => (job === undefined ? '' : ` (${job})`);

/** What a permanent step makes permanent and closes in, and who depends on it, a line each. */
const linesOfCard = (job: JobState, step: Step, around: Surroundings): readonly string[] => {
  const card = permanentCard(job, step, around);
  const lines = [
    ...card.proved.map(
      ({ feature, by }) => `${step.step} fixes ${feature}${by === undefined ? ', not proved' : `, proved by ${by}`}`,
    ),
    ...card.reliedOnBy.map((one) => `${one.feature} is relied on by ${one.step}, ${one.title}${inJob(one.job)}`),
    ...card.covers.map((area) => `${step.step} covers ${area}`),
    ...card.reachers.map((one) => `${one.area} must still be reached by ${one.step}${inJob(one.job)}`),
    ...(step.gate === undefined ? [] : [`${step.step} passes the gate ${step.gate}`]),
  ];
  return lines.length === 0 ? [`${step.step} is permanent, fixes no feature and covers no area`] : lines;
};

/** What is shown before the permanent steps that an entry opens, as the entry keeps it; nothing where it opens none. */
export const aheadSaid = (
  job: JobState,
  verb: JobVerb,
  data: object,
  around: Surroundings,
): { readonly ahead?: readonly string[] } => {
  const steps = permanentOpenedBy(job, verb, data);
  return steps.length === 0 ? {} : { ahead: steps.flatMap((one) => linesOfCard(job, one, around)) };
};
