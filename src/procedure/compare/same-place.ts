import type { Step } from '../model.ts';
import { alike, tokensOf } from './likeness.ts';

const muchAlike = 0.5;

/** The steps that have the place of an old one in the new order: below the step that was above it, above the step that was below it. */
const besides = (
  before: readonly Step[],
  after: readonly Step[],
  index: number,
  placeOf: (step: Step | undefined) => number | undefined,
): readonly Step[] => {
  const [above, below] = [placeOf(before[index - 1]), placeOf(before[index + 1])];
  return [
    ...(above === undefined ? [] : after.slice(above + 1, above + 2)),
    ...(below === undefined || below === 0 ? [] : after.slice(below - 1, below)),
  ];
};

/**
 * Finds steps that were reworded and have another id: they are beside the same step as before, and share most words of the title.
 * @param known the new ids that are known so far, by old id
 * @returns those and the ones found
 */
export const samePlace = (
  before: readonly Step[],
  after: readonly Step[],
  known: ReadonlyMap<string, string>,
): ReadonlyMap<string, string> => {
  const names = new Map(known);
  const [isOld, isTaken] = [new Set(before.map(({ step }) => step)), new Set(known.values())];
  const places = new Map(after.map(({ step }, index) => [step, index]));
  const placeOf = (step: Step | undefined): number | undefined => step && places.get(names.get(step.step) ?? step.step);
  for (const [index, old] of before.entries()) {
    if (places.has(old.step) || names.has(old.step)) continue;
    const title = tokensOf(old.title);
    const found = besides(before, after, index, placeOf).find(
      (now) => !isOld.has(now.step) && !isTaken.has(now.step) && alike(title, tokensOf(now.title)) >= muchAlike,
    );
    if (found === undefined) continue;
    names.set(old.step, found.step);
    isTaken.add(found.step);
  }
  return names;
};
