import type { Step } from '../procedure/model.ts';
import { permanentCard } from './ahead.ts';
import type { JobState } from './state.ts';
import { stepApplies, stepStateOf } from './step-state.ts';
import type { Surroundings } from './surroundings.ts';

const inJob = (job: string | undefined): string => (job === undefined ? '' : ` (${job})`);

/** What a permanent step makes permanent and closes in, and who depends on it, a line each. */
const linesOfCard = (job: JobState, step: Step, around: Surroundings): readonly string[] => {
  const card = permanentCard(job, step, around);
  return [
    ...card.proved.map(
      ({ feature, by }) => `${step.step} fixes ${feature}${by === undefined ? ', not proved' : `, proved by ${by}`}`,
    ),
    ...card.reliedOnBy.map((one) => `${one.feature} is relied on by ${one.step}, ${one.title}${inJob(one.job)}`),
    ...card.covers.map((area) => `${step.step} covers ${area}`),
    ...card.reachers.map((one) => `${one.area} must still be reached by ${one.step}${inJob(one.job)}`),
    ...(step.gate === undefined ? [] : [`${step.step} passes the gate ${step.gate}`]),
  ];
};

/** The permanent steps that an entry on a step opens: the step itself, and those in the pot life of what is mixed there. */
export const permanentOpenedBy = (job: JobState, step: Step): readonly Step[] =>
  job.plan.steps.filter(
    (one) =>
      one.permanent &&
      (one.step === step.step || (step.mix !== undefined && one.inPotLifeOf.includes(step.step))) &&
      stepApplies(job, one) &&
      stepStateOf(job, one.step).state === 'todo',
  );

/** What is shown before the permanent steps that an entry on this step opens, as the entry keeps it; nothing where it opens none. */
export const aheadSaid = (job: JobState, step: Step, around: Surroundings): { readonly ahead?: readonly string[] } => {
  const lines = permanentOpenedBy(job, step).flatMap((one) => linesOfCard(job, one, around));
  return lines.length === 0 ? {} : { ahead: lines };
};
