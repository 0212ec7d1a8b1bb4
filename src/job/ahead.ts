import { aheadOf, type Met } from '../procedure/ahead.ts';
import { reachersFrom } from '../procedure/areas.ts';
import type { Step } from '../procedure/model.ts';
import { type Order, orderOf } from '../procedure/order.ts';
import type { Plan } from '../procedure/plan.ts';
import { sheetFor } from './gate.ts';
import type { GateSheet } from './gate-sheet.ts';
import type { Surroundings } from './surroundings.ts';
import type { JobState } from './state.ts';
import { isOwed, isSkipped, stepApplies } from './step-state.ts';
import { isDone } from './where.ts';

/** Where a feature was proved before a step: in an earlier finished step of this job, or elsewhere in the build. */
export const provedBy = (job: JobState, before: Step, feature: string, around: Surroundings): string | undefined => {
  const earlier = job.plan.steps.slice(0, job.plan.steps.indexOf(before));
  const proof = earlier.findLast(
    (step) => step.proves.includes(feature) && stepApplies(job, step) && isDone(job, step),
  );
  return proof?.step ?? around.provedElsewhere(feature);
};

export interface Reacher {
  readonly area: string;
  readonly step: string;
  /** A job of the build; absent for a procedure that no job carries out yet. */
  readonly job?: string;
}

/**
 * Everything that must still reach an area which this step covers: later steps of this job, steps left for later, steps of other open jobs.
 */
export const coverers = (job: JobState, step: Step, around: Surroundings): readonly Reacher[] =>
  step.covers.flatMap((area) => [
    ...job.plan.steps
      .filter((one) => one.reaches.includes(area) && isOwed(job, one))
      .map((one) => ({ area, step: one.step })),
    ...reachersFrom(job.plan.steps, job.plan.steps.indexOf(step) + 1, area)
      .filter((one) => stepApplies(job, one) && !isSkipped(job, one))
      .map((one) => ({ area, step: one.step })),
    ...around.stillReaching(area).map((one) => ({ area, ...one })),
  ]);

/** The plans that no job carries out yet, and the order that `after` gives to procedures. */
export interface ToCome {
  readonly plans: readonly Plan[];
  readonly order: Order;
}

export const nothingToCome: ToCome = { plans: [], order: orderOf([]) };

/** A step as the card names it: by its id in this job, by its title elsewhere. */
export interface Relier {
  readonly feature: string;
  readonly step: string;
  readonly title: string;
  readonly job?: string;
}

/** What a person is shown before a permanent step, to be read before the glue is on. The rules decide what the card says. */
export interface PermanentCard {
  readonly step: string;
  readonly sets: readonly string[];
  readonly proved: readonly { readonly feature: string; readonly by?: string }[];
  readonly reliedOnBy: readonly Relier[];
  readonly covers: readonly string[];
  /** Steps that must still reach a covered area: in this job, in other jobs, and in procedures to come. */
  readonly reachers: readonly Reacher[];
  /** The gate that the step passes, with what is open at it now. */
  readonly gate?: GateSheet;
}

const planName = ({ procedure, side }: Plan): string => (side === undefined ? procedure : `${procedure} ${side}`);

export const permanentCard = (
  job: JobState,
  step: Step,
  around: Surroundings,
  { plans, order }: ToCome = nothingToCome,
): PermanentCard => {
  const { features, areas } = aheadOf(job.plan, step, plans, order);
  const of = ({ plan }: Met): { readonly job?: string } => (plan === job.plan ? {} : { job: planName(plan) });
  return {
    step: step.step,
    sets: step.sets,
    proved: step.sets.map((feature) => {
      const by = provedBy(job, step, feature, around);
      return { feature, ...(by === undefined ? {} : { by }) };
    }),
    reliedOnBy: features.flatMap(({ feature, reliers }) =>
      reliers.map((met) => ({ feature, step: met.step.step, title: met.step.title, ...of(met) })),
    ),
    covers: step.covers,
    reachers: [
      ...coverers(job, step, around),
      ...areas.flatMap(({ area, reachers }) =>
        reachers.filter(({ plan }) => plan !== job.plan).map((met) => ({ area, step: met.step.step, ...of(met) })),
      ),
    ],
    ...(step.gate === undefined ? {} : { gate: sheetFor(job, step, step.gate, around) }),
  };
};
