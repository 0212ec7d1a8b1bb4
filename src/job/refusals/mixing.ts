import type { Refusal } from '../../fault/fault.ts';
import { commitsOf } from '../../procedure/ahead.ts';
import type { Step } from '../../procedure/model.ts';
import type { Quantity } from '../../quantity/quantity.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import { stepApplies, stepStateOf } from '../step-state.ts';
import { sizeRefusals } from './batch-size.ts';
import { clockRefusals } from './clock.ts';
import { helperRefusals, helpersToMix } from './helpers.ts';
import { lotRefusals, sameLotRefusals } from './lots.ts';
import { beginRefusals, openingRefusals, permanentRefusals, takingRefusals } from './opening.ts';
import { performerRefusals } from './power.ts';
import { shopRefusals } from './shop.ts';
import { toolRefusals } from './tools.ts';

/** What is known of a batch. Before anything is weighed, it has no parts and no typed temperature. */
interface Weighed {
  readonly parts: readonly Quantity[];
  readonly temperature?: string | undefined;
  /** The individual scale. */
  readonly tool?: string | undefined;
}

/** The steps that are done with the glue of a mix still wet. */
export const wetSteps = (job: JobState, mix: Step): readonly Step[] =>
  job.plan.steps.filter((one) => one.inPotLifeOf.includes(mix.step) && stepApplies(job, one));

/** A further cup may be mixed, without undoing anything, as long as a step that needs the glue wet is not finished. */
export const mayMixFurther = (job: JobState, mix: Step): boolean =>
  mix.mix !== undefined &&
  stepStateOf(job, mix.step).state === 'done' &&
  wetSteps(job, mix).some(({ step }) => stepStateOf(job, step).state !== 'done');

/**
 * Decides at the mix everything that the mix commits to: every permanent step that needs the glue wet, and everybody who must be there by
 * then.
 */
export const mixRefusals = (
  job: JobState,
  step: Step,
  moment: Moment,
  { parts, temperature, tool }: Weighed = { parts: [] },
): readonly Refusal[] => {
  const { mix } = step;
  if (!mix) return [];
  return [
    ...(mayMixFurther(job, step) ? [] : openingRefusals(job, step, moment)),
    ...job.plan.steps.flatMap((one) => (one.inPotLifeOf.includes(step.step) ? beginRefusals(job, one, moment) : [])),
    ...commitsOf(job.plan, step).flatMap((one) => permanentRefusals(job, one, moment)),
    ...helperRefusals(helpersToMix(job, step, moment)),
    ...sizeRefusals(job, mix, parts),
    ...lotRefusals(job, mix, moment),
    ...sameLotRefusals(job, mix, moment),
    ...wetSteps(job, step).flatMap((one) => takingRefusals(job, one, moment)),
    ...toolRefusals(job, mix.tool, tool, moment),
    ...shopRefusals(job, step, moment, temperature),
    // The pot life of such a batch would begin at a time that nobody knows.
    ...(mix.potLife.length > 0 ? clockRefusals(moment) : []),
    ...performerRefusals(moment),
  ];
};
