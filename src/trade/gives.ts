import { memoised } from '../fault/memo.ts';
import type { Dimension } from '../quantity/units.ts';
import type { Calculation } from './calculation.ts';
import { calculate, calculations } from './calculations.ts';

const exampleKinds = ({ name, example }: Calculation): readonly Dimension[] => {
  const done = calculate(name, example);
  return done.ok ? done.value.results.map(({ quantity }) => quantity.unit.dimension) : [];
};

/** The kinds of quantity that a calculation says it gives, or gives for its example. */
const givenKinds = memoised(
  (calculation: Calculation): ReadonlySet<Dimension> =>
    new Set(typeof calculation.gives === 'object' ? calculation.gives : exampleKinds(calculation)),
);

/** How well a calculation fits a kind of quantity. 0: it gives this kind; 1: it gives whatever kind goes in; 2: it gives another. */
export const fits = (calculation: Calculation, dimension: Dimension): 0 | 1 | 2 =>
  calculation.gives === 'any' ? 1 : givenKinds(calculation).has(dimension) ? 0 : 2;

/** Every calculation, those that give this kind first, each group in the order of the list. */
export const calculationsFor = (dimension: Dimension | undefined): readonly Calculation[] => {
  const all = Object.values(calculations);
  return dimension === undefined ? all : all.toSorted((a, b) => fits(a, dimension) - fits(b, dimension));
};
