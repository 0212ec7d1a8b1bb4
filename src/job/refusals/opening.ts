import type { Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import { departureFor } from '../departure.ts';
import { stepStateOf } from '../step-state.ts';
import { contradictionRefusals } from './contradiction.ts';
import { gateRefusals } from './gate.ts';
import { helperRefusals, helpersToOpen } from './helpers.ts';
import { intervalRefusals } from './interval.ts';
import { materialRefusals } from './lots.ts';
import { needRefusals, orderRefusals } from './order.ts';
import { coveredRefusals, coverRefusals, proofRefusals } from './proof-and-cover.ts';
import { serialRefusals } from './serials.ts';
import { potLifeRefusals, stageRefusals } from './stage-and-pot-life.ts';
import { toolsOfStep } from './tools.ts';

/** True for a step that is done with wet glue. It was decided at its mix, and is never refused with the glue already on. */
export const isGlued = (step: Step): boolean => step.inPotLifeOf.length > 0;

/** Rule 2 of the design: a permanent step is decided before anything is committed, at its mix or its opening, whichever is first. */
export const permanentRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => [
  ...proofRefusals(job, step, moment),
  ...coverRefusals(job, step, moment),
  ...gateRefusals(job, step, moment),
  ...toolsOfStep(job, step, moment),
  ...contradictionRefusals([step], moment),
];

/** The lots and parts that a step takes in hand must be named, and fit to be used. */
export const takingRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => [
  ...materialRefusals(job, step, moment),
  ...serialRefusals(job, step, moment),
];

/** A step is begun in its time, and where its areas can be reached. Once begun, it may be finished. */
export const beginRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => [
  ...intervalRefusals(job, step, moment),
  ...coveredRefusals(job, step, moment),
];

/**
 * What keeps a step from being begun, whoever acts and whatever they bring, and no departure has overruled: known before the hand moves.
 */
export const barsOf = (job: JobState, step: Step, moment: Moment): readonly Refusal[] =>
  [...needRefusals(job, step), ...(stepStateOf(job, step.step).begun ? [] : beginRefusals(job, step, moment))].filter(
    ({ code }) => departureFor(job, code, step) === undefined,
  );

/** What refuses the opening of a step. The first entry of any kind on a step opens it. */
export const openingRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => {
  const order = orderRefusals(job, step);
  // A lot that is named while the step is open is taken in hand with its next act.
  if (stepStateOf(job, step.step).begun)
    return isGlued(step) ? order : [...order, ...materialRefusals(job, step, moment)];
  return [
    ...order,
    ...beginRefusals(job, step, moment),
    ...stageRefusals(job, step, moment),
    ...potLifeRefusals(job, step, moment),
    ...(isGlued(step) ? [] : takingRefusals(job, step, moment)),
    ...(step.permanent && !isGlued(step)
      ? [...permanentRefusals(job, step, moment), ...(step.mix ? [] : helperRefusals(helpersToOpen(job, step, moment)))]
      : []),
  ];
};
