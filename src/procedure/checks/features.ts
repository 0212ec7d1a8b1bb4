import { shown } from '../message.ts';
import { tell } from '../subject.ts';
import { valueOf } from '../tree.ts';
import { type Check, type Checking, inspectedBy, rawLists, stepPath } from './checking.ts';

/** A permanent step fixes what a later step relies on, and nothing before it has shown that to be right. */
export const checkProofs: Check = (checking) => {
  const { subject, steps } = checking;
  const [proves, relies] = [rawLists(checking, 'proves'), rawLists(checking, 'relies-on')];
  const firstProof = new Map<string, number>();
  const lastReliance = new Map<string, number>();
  for (const [index, features] of proves.entries())
    for (const feature of features) if (!firstProof.has(feature)) firstProof.set(feature, index);
  for (const [index, features] of relies.entries()) for (const feature of features) lastReliance.set(feature, index);
  for (const [index, step] of steps.entries())
    for (const [item, feature] of step.sets.entries()) {
      const later = lastReliance.get(feature) ?? -1;
      if (later <= index || (firstProof.get(feature) ?? Infinity) <= index) continue;
      const what = `${shown(step.title)} makes ${feature} permanent and ${shown(steps[later]!.title)} relies on it, yet no step before proves it`;
      tell(
        subject,
        stepPath(index, 'sets', item),
        'proof-missing',
        what,
        `add proves: [${feature}] to the dry trial above`,
      );
    }
};

/** A feature relied on that nothing sets: here, or in a procedure that this one comes after. */
export const checkReliances: Check = (checking) => {
  const { subject, steps } = checking;
  if (valueOf(subject.tree, 'after') !== undefined) return;
  const set = new Set(rawLists(checking, 'sets').flat());
  for (const [index, step] of steps.entries())
    for (const [item, feature] of step.reliesOn.entries())
      if (!set.has(feature)) {
        const what = `nothing sets ${shown(feature)}`;
        const todo = `add sets: [${feature}] to the step that fixes it, or after: with the procedure that does`;
        tell(subject, stepPath(index, 'relies-on', item), 'feature-unset', what, todo);
      }
};

/** What is set is permanent; the step should say so itself, since people read it. */
export const checkPermanence: Check = ({ subject, steps }) => {
  for (const [index, step] of steps.entries())
    if (step.sets.length > 0 && !step.permanent)
      tell(
        subject,
        stepPath(index, 'sets'),
        'permanent-missing',
        'the step sets a feature and is not marked permanent',
        'add permanent: true',
        'warning',
      );
};

/** Where an area is covered: up to which step it stays so. */
const coveredUntil = (uncovers: readonly (readonly string[])[], area: string, from: number): number => {
  const opened = uncovers.findIndex((areas, index) => index > from && areas.includes(area));
  return opened === -1 ? Infinity : opened;
};

const byArea = (lists: readonly (readonly string[])[]): ReadonlyMap<string, readonly number[]> => {
  const found = new Map<string, number[]>();
  for (const [index, areas] of lists.entries())
    for (const area of areas) {
      const list = found.get(area);
      if (list === undefined) found.set(area, [index]);
      else list.push(index);
    }
  return found;
};

const holdsOver = (checking: Checking, reached: readonly number[], from: number, until: number): number | undefined => {
  const before = reached.filter((step) => step <= from);
  if (before.length === 0) return undefined;
  const found = checking.steps.findIndex(
    (step, index) =>
      index > from &&
      index < until &&
      step.hold?.kind === 'hold' &&
      inspectedBy(checking, index).some((inspected) => before.includes(inspected)),
  );
  return found === -1 ? undefined : found;
};

/** An area is covered before a step that must get at it, or before a hold that inspects what was done there. */
export const checkCovers: Check = (checking) => {
  const { subject, steps } = checking;
  const reaches = byArea(rawLists(checking, 'reaches'));
  const uncovers = rawLists(checking, 'uncovers');
  for (const [index, step] of steps.entries())
    for (const [item, area] of step.covers.entries()) {
      const until = coveredUntil(uncovers, area, index);
      const reached = reaches.get(area) ?? [];
      const later = reached.find((one) => one > index && one < until);
      const hold = later === undefined ? holdsOver(checking, reached, index, until) : undefined;
      const need = later ?? hold;
      if (need === undefined) continue;
      const what = `${area} is covered here, and ${shown(steps[need]!.title)} further down must still ${hold === undefined ? 'reach' : 'inspect'} it`;
      tell(subject, stepPath(index, 'covers', item), 'covered-early', what, 'do that first, or uncovers: it before');
    }
};
