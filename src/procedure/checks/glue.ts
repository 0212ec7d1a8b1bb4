import { printDuration } from '../../quantity/time.ts';
import { shown } from '../message.ts';
import { planFor } from '../plan.ts';
import type { Step } from '../model.ts';
import { report } from '../subject.ts';
import { type Check, type Checking, stepPath } from './checking.ts';

/** The steps as they are carried out: one for each instance of those that have `for`. */
const carriedOut = ({ subject, steps }: Checking): readonly Step[] =>
  steps.some((step) => step.for.length > 0) ? planFor({ ...subject.head, steps }).steps : steps;

/** From each mix to the last step in its pot life: indexes of steps. */
const stretches = (steps: readonly Step[]): readonly { readonly mix: number; readonly last: number }[] => {
  const last = new Map<string, number>();
  for (const [index, step] of steps.entries()) for (const id of step.inPotLifeOf) last.set(id, index);
  return steps.flatMap((step, mix) => {
    const end = last.get(step.step);
    return step.mix !== undefined && end !== undefined && end > mix ? [{ mix, last: end }] : [];
  });
};

const timeOf = (step: Step): number => (step.takes?.ms ?? 0) + (step.wait?.ms ?? 0);

/** For each value, it and all before it joined by `join`. */
const running = (values: readonly number[], join: (so: number, value: number) => number): readonly number[] => {
  let so = 0;
  return values.map((value) => (so = join(so, value)));
};

/** Reports work, from mixing to the last step in the pot life, that takes longer than the pot life. */
export const checkPotLife: Check = (checking) => {
  const { subject } = checking;
  const steps = carriedOut(checking);
  const places = new Map(checking.steps.map(({ step }, index) => [step, index]));
  const told = new Set<number>();
  const clock = running(steps.map(timeOf), (so, time) => so + time);
  for (const { mix, last } of stretches(steps)) {
    const times = steps[mix]!.mix!.potLife.map(({ time }) => time.ms);
    if (times.length === 0) continue;
    const work = clock[last]! - (clock[mix - 1] ?? 0);
    const [shortest, longest] = [Math.min(...times), Math.max(...times)];
    const place = places.get(steps[mix]!.base) ?? mix;
    if (work <= shortest || told.has(place)) continue;
    told.add(place);
    const never = work > longest;
    const pot = printDuration(never ? longest : shortest);
    const what = `mixing to ${shown(steps[last]!.title)} takes ${printDuration(work)}, and the pot life is ${pot}${never ? '' : ' where it is warmest'}`;
    const todo = 'mix several batches, or shorten the work between';
    const path = stepPath(place, 'mix', 'pot-life');
    if (never) report(subject, path, 'pot-life-short', what, todo);
    else report(subject, path, 'pot-life-tight', what, todo, 'warning');
  }
};

/** Reports a step that needs more people, with the glue already mixed, than any step before called for. */
export const checkHelpers: Check = (checking) => {
  const { subject, steps } = checking;
  const most = running(
    steps.map((step) => Math.max(subject.head.people, step.people ?? 1)),
    Math.max,
  );
  for (const { mix, last } of stretches(steps)) {
    const called = most[mix]!;
    for (let index = mix + 1; index <= last; index += 1) {
      const people = steps[index]!.people ?? 1;
      if (people <= called) continue;
      const what = `${people} people are needed here with the glue already mixed, and no step up to the mix asks for more than ${called}`;
      report(subject, stepPath(index, 'people'), 'helper-late', what, `add people: ${people} to the mix`);
    }
  }
};
