import { isOpenedBetween, areasLeftOpen, covererIn, reachersFrom } from './areas.ts';
import type { Step } from './model.ts';
import { comesAfter, type Order } from './order.ts';
import type { Plan } from './plan.ts';

/** A step of a plan that relies on, proves or must reach what another step makes permanent or covers. */
export interface Met {
  readonly plan: Plan;
  readonly step: Step;
}

/** What one permanent step commits everybody to, by the procedures alone; how far a job has come is the job's to say. */
export interface Ahead {
  readonly features: readonly {
    readonly feature: string;
    /** Dry trials before the step that show the feature to be right. */
    readonly proofs: readonly Met[];
    /** Steps whose outcome depends on it: further down, and in other procedures. */
    readonly reliers: readonly Met[];
  }[];
  readonly areas: readonly {
    readonly area: string;
    /** Steps that must get at it and no longer can: further down, and in other procedures. */
    readonly reachers: readonly Met[];
  }[];
}

/**
 * The permanent steps that the builder is committed to when `step` begins: for a mix, all that its glue will bind; else the step itself, unless
 * its mix has committed the builder already.
 */
export const commitsOf = ({ steps }: Pick<Plan, 'steps'>, step: Step): readonly Step[] => {
  if (step.mix) return steps.filter((one) => one.permanent && (one === step || one.inPotLifeOf.includes(step.step)));
  return step.permanent && step.inPotLifeOf.length === 0 ? [step] : [];
};

/**
 * Steps of other plans that must reach an area which `plan` leaves covered. A plan does not count where another one, in a fixed order between
 * the two, uncovers the area.
 */
export const reachersElsewhere = (plan: Plan, others: readonly Plan[], order: Order, area: string): readonly Met[] => {
  const openers = others.filter((other) => areasLeftOpen(other).has(area)).map(({ procedure }) => procedure);
  return others.flatMap((other) =>
    isOpenedBetween(openers, order, plan.procedure, other.procedure)
      ? []
      : reachersFrom(other.steps, 0, area).map((step) => ({ plan: other, step })),
  );
};

/**
 * What a step of a plan makes permanent, what relies on that, what it covers and who must still reach it.
 * @param others plans of the same folder that are carried out after this one or in no order with it
 * @param before plans that are carried out before it, where they are known: their dry trials count as proof
 */
export const aheadOf = (
  plan: Plan,
  step: Step,
  others: readonly Plan[],
  order: Order,
  before: readonly Plan[] = [],
): Ahead => {
  const index = plan.steps.indexOf(step);
  const [above, below] = [plan.steps.slice(0, index), plan.steps.slice(index + 1)];
  const own = (steps: readonly Step[]): readonly Met[] => steps.map((one) => ({ plan, step: one }));
  const met = (plans: readonly Plan[], fits: (one: Step) => boolean): readonly Met[] =>
    plans.flatMap((other) => other.steps.filter(fits).map((one) => ({ plan: other, step: one })));
  return {
    features: step.sets.map((feature) => {
      const proves = (one: Step): boolean => one.proves.includes(feature);
      const relies = (one: Step): boolean => one.reliesOn.includes(feature);
      return {
        feature,
        proofs: [...met(before, proves), ...own(above.filter(proves))],
        reliers: [...own(below.filter(relies)), ...met(others, relies)],
      };
    }),
    areas: step.covers.map((area) => ({
      area,
      reachers: [
        ...own(reachersFrom(plan.steps, index + 1, area)),
        ...(below.some(({ uncovers }) => uncovers.includes(area)) ? [] : reachersElsewhere(plan, others, order, area)),
      ],
    })),
  };
};

/**
 * Steps that may have covered an area before a step must reach it: the last step above that turns it, else the steps of other plans that
 * leave it covered and do not come after this plan, unless a plan between the two uncovers it.
 */
export const coveredBefore = (
  plan: Plan,
  step: Step,
  others: readonly Plan[],
  order: Order,
  area: string,
): readonly Met[] => {
  if (step.uncovers.includes(area)) return [];
  const above = plan.steps.slice(0, plan.steps.indexOf(step));
  if (above.some(({ covers, uncovers }) => covers.includes(area) || uncovers.includes(area))) {
    const own = covererIn(above, area);
    return own ? [{ plan, step: own }] : [];
  }
  const openers = others.filter((other) => areasLeftOpen(other).has(area)).map(({ procedure }) => procedure);
  return others.flatMap((other) => {
    const cover = covererIn(other.steps, area);
    const isAfter = comesAfter(order, other.procedure, plan.procedure);
    return cover === undefined || isAfter || isOpenedBetween(openers, order, other.procedure, plan.procedure)
      ? []
      : [{ plan: other, step: cover }];
  });
};
