import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { unknownId } from '../fault/unknown.ts';
import { aheadOf, commitsOf, coveredBefore, type Met } from './ahead.ts';
import type { Procedure, Step } from './model.ts';
import { comesAfter, type Order, orderOf } from './order.ts';
import { type Plan, planFor } from './plan.ts';

/** A step named in a report, and when it is carried out relative to the step asked about. */
export interface StepNamed {
  readonly procedure: string;
  readonly side?: string;
  readonly step: string;
  readonly title: string;
  /** `before`: a proof; `below`: further down in the same job; `after`: a procedure that comes after; `open`: in no fixed order. */
  readonly when: 'before' | 'below' | 'after' | 'open';
}

/** What one step commits everybody to, across the procedures of a folder. */
export interface StepAhead {
  /** Present only where the sides differ. */
  readonly side?: string;
  readonly step: string;
  readonly title: string;
  readonly permanent: boolean;
  /** The mix that commits the builder to this step; present where the mix is the step asked about. */
  readonly with?: string;
  readonly people: number;
  readonly gate?: string;
  readonly features: readonly {
    readonly feature: string;
    readonly provedBy: readonly StepNamed[];
    readonly reliedOnBy: readonly StepNamed[];
  }[];
  readonly covers: readonly { readonly area: string; readonly reachedBy: readonly StepNamed[] }[];
  /** The areas that the step must reach, and what may have covered them by then. */
  readonly reaches: readonly { readonly area: string; readonly coveredBy: readonly StepNamed[] }[];
}

interface AheadQuery {
  readonly plan: Plan;
  readonly order: Order;
  readonly before: readonly Plan[];
  readonly others: readonly Plan[];
}

const plansOf = (procedure: Procedure): readonly Plan[] =>
  procedure.each.length === 0 ? [planFor(procedure)] : procedure.each.map((side) => planFor(procedure, side));

const lookFrom = (plan: Plan, plans: readonly Plan[], order: Order): AheadQuery => {
  const strangers = plans.filter(({ procedure, side }) => procedure !== plan.procedure || side !== plan.side);
  const isBefore = ({ procedure }: Plan): boolean =>
    comesAfter(order, plan.procedure, procedure) && !comesAfter(order, procedure, plan.procedure);
  return { plan, order, before: strangers.filter(isBefore), others: strangers.filter((one) => !isBefore(one)) };
};

const whenOf = ({ plan, order }: AheadQuery, met: Met): StepNamed['when'] => {
  if (met.plan === plan) return 'below';
  return comesAfter(order, met.plan.procedure, plan.procedure) ? 'after' : 'open';
};

/** Of what may have covered an area: in the same job and in a procedure before, or in no fixed order. */
const whenCovered = ({ plan, order }: AheadQuery, met: Met): StepNamed['when'] =>
  met.plan === plan || comesAfter(order, plan.procedure, met.plan.procedure) ? 'before' : 'open';

const named = (
  look: AheadQuery,
  mets: readonly Met[],
  when: (look: AheadQuery, met: Met) => StepNamed['when'] = whenOf,
): readonly StepNamed[] =>
  mets.map((met) => ({
    procedure: met.plan.procedure,
    ...(met.plan.side === undefined ? {} : { side: met.plan.side }),
    step: met.step.step,
    title: met.step.title,
    when: when(look, met),
  }));

const aheadOfStep = (look: AheadQuery, step: Step, asked: Step): StepAhead => {
  const { features, areas } = aheadOf(look.plan, step, look.others, look.order, look.before);
  return {
    ...(look.plan.side === undefined ? {} : { side: look.plan.side }),
    step: step.step,
    title: step.title,
    permanent: step.permanent,
    ...(step === asked ? {} : { with: asked.step }),
    people: step.people ?? look.plan.people,
    ...(step.gate === undefined ? {} : { gate: step.gate }),
    features: features.map(({ feature, proofs, reliers }) => ({
      feature,
      provedBy: named(look, proofs, () => 'before'),
      reliedOnBy: named(look, reliers),
    })),
    covers: areas.map(({ area, reachers }) => ({ area, reachedBy: named(look, reachers) })),
    reaches: step.reaches.map((area) => {
      const met = coveredBefore(look.plan, step, [...look.before, ...look.others], look.order, area);
      return { area, coveredBy: named(look, met, whenCovered) };
    }),
  };
};

/** The step asked about and, for a mix, every permanent step that its glue will bind. */
const stepsOf = (plan: Plan, asked: Step): readonly Step[] => [
  asked,
  ...commitsOf(plan, asked).filter((step) => step !== asked),
];

/** The features and areas that the steps of a procedure name, each side written out. */
export const namesOf = (procedure: Procedure): readonly string[] => [
  ...new Set(
    plansOf(procedure)
      .flatMap(({ steps }) => steps)
      .flatMap(({ sets, proves, reliesOn, covers, uncovers, reaches }) =>
        [sets, proves, reliesOn, covers, uncovers, reaches].flat(),
      ),
  ),
];

const askedOf = ({ steps }: Plan, id: string): readonly Step[] =>
  steps.filter(({ step, base }) => step === id || base === id);

/** The features and areas of a step and of what it binds: a procedure that names none of them has no place in the report of the step. */
export const namesAsked = (procedure: Procedure, id: string): ReadonlySet<string> =>
  new Set(
    plansOf(procedure)
      .flatMap((plan) => askedOf(plan, id).flatMap((step) => stepsOf(plan, step)))
      .flatMap(({ sets, covers, reaches }) => [sets, covers, reaches].flat()),
  );

/** Where all sides say the same, it is reported once, without a side. */
const withoutSides = (all: readonly (readonly StepAhead[])[]): readonly StepAhead[] => {
  const [first = []] = all;
  const bare = (steps: readonly StepAhead[]): readonly Omit<StepAhead, 'side'>[] =>
    steps.map(({ side: _side, ...rest }) => rest);
  const same = all.every((steps) => JSON.stringify(bare(steps)) === JSON.stringify(bare(first)));
  return same ? bare(first) : all.flat();
};

/**
 * What a step of a procedure makes permanent, what relies on that, what it covers and who must still reach it, across a folder.
 * @param id of the step. For a step with `for` it means every instance, unless it names one (`dry-fit/bay-1`).
 * @param folder the procedures that may have a place in the report, the procedure itself among them
 * @param side the side asked about; absent: every side
 * @param order of all procedures of the folder
 */
export const reportAhead = (
  procedure: Procedure,
  id: string,
  folder: readonly Procedure[],
  side?: string,
  order = orderOf(folder),
): Outcome<readonly StepAhead[]> => {
  const { each } = procedure;
  if (side !== undefined && !each.includes(side)) {
    const has = each.length === 0 ? 'has no sides' : `has no side '${side}'`;
    const todo = each.length === 0 ? 'leave --each out' : `sides: ${each.join(', ')}`;
    return err(usage('side-unknown', `${procedure.procedure} ${has}`, todo));
  }
  const plans = folder.flatMap(plansOf);
  const own = plans.filter(
    (plan) => plan.procedure === procedure.procedure && (side === undefined || plan.side === side),
  );
  const all = own.map((plan) => {
    const look = lookFrom(plan, plans, order);
    return askedOf(plan, id).flatMap((step) => stepsOf(plan, step).map((one) => aheadOfStep(look, one, step)));
  });
  if (all.some((steps) => steps.length > 0)) return ok(withoutSides(all));
  const known = [...new Set(procedure.steps.map(({ step }) => step))];
  return err(unknownId(`${procedure.procedure} has no step '${id}'`, id, known));
};
