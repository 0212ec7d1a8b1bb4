import { memoised } from '../fault/memo.ts';
import { nothingToCome, type ToCome } from '../job/ahead.ts';
import type { Procedure } from '../procedure/model.ts';
import { orderOf } from '../procedure/order.ts';
import { planFor, type Plan } from '../procedure/plan.ts';
import { jobsOf, type BuildState } from './state.ts';

/** The plans of a procedure, one for each side. */
const plansOf = memoised((procedure: Procedure): readonly Plan[] => {
  const sides = procedure.each.length === 0 ? [undefined] : procedure.each;
  return sides.map((side) => planFor(procedure, side));
});

const key = (procedure: string, side: string | undefined): string => `${procedure}/${side ?? ''}`;

/**
 * The plans in the folder that are still to come: no job carries them out, begun or complete, and build.yaml does not list them as done
 * before dryfit.
 */
export const toCome = (state: BuildState, folder: readonly { readonly procedure?: Procedure }[]): ToCome => {
  const procedures = folder.flatMap(({ procedure }) => procedure ?? []);
  if (procedures.length === 0) return nothingToCome;
  const begun = new Set(jobsOf(state).map(({ procedure, side }) => key(procedure, side)));
  const before = new Set(state.file.beforeDryfit.flatMap(({ procedure }) => procedure ?? []));
  return {
    plans: procedures
      .filter(({ procedure }) => !before.has(procedure))
      .flatMap(plansOf)
      .filter(({ procedure, side }) => !begun.has(key(procedure, side))),
    order: orderOf(procedures),
  };
};
