import { shown } from '../message.ts';
import { report } from '../subject.ts';
import { valueOf } from '../tree.ts';
import { type Check, type Checking, inspectedBy, placesOf, rawLists, stepPath } from './checking.ts';

/**
 * Reports a permanent step that fixes a feature which a later step relies on, without a proof before it. Where other procedures come before this
 * one, the proof may be in one of them, so that the check of the folder reports it.
 */
export const checkProofs: Check = (checking) => {
  const { subject, steps } = checking;
  if (valueOf(subject.tree, 'after') !== undefined) return;
  const [proves, relies] = [rawLists(checking, 'proves'), rawLists(checking, 'relies-on')];
  const firstProof = new Map<string, number>();
  const lastReliance = new Map<string, number>();
  for (const [index, features] of proves.entries())
    for (const feature of features) if (!firstProof.has(feature)) firstProof.set(feature, index);
  for (const [index, features] of relies.entries()) for (const feature of features) lastReliance.set(feature, index);
  for (const [index, step] of steps.entries())
    for (const [item, feature] of step.sets.entries()) {
      const later = lastReliance.get(feature) ?? -1;
      if (later <= index || (firstProof.get(feature) ?? Infinity) < index) continue;
      const what = `${shown(step.title)} makes ${feature} permanent and ${shown(steps[later]!.title)} relies on it, yet no step before proves it`;
      report(
        subject,
        stepPath(index, 'sets', item),
        'proof-missing',
        what,
        `add proves: [${feature}] to the dry trial above`,
      );
    }
};

/** The message about a feature that is relied on before it is set; `later` is the title of the step that sets it further down. */
export const unset = (feature: string, later: string | undefined): { readonly what: string; readonly todo: string } =>
  later === undefined
    ? {
        what: `nothing sets ${shown(feature)}`,
        todo: `add sets: [${feature}] to the step that fixes it, or after: with the procedure that does`,
      }
    : {
        what: `${shown(feature)} is set only further down, by ${shown(later)}`,
        todo: 'put the step that relies on it below that one',
      };

/** Reports a feature that a step relies on and no step before it sets, here or in a procedure that this one comes after. */
export const checkReliances: Check = (checking) => {
  const { subject, steps } = checking;
  if (valueOf(subject.tree, 'after') !== undefined) return;
  const set = placesOf(rawLists(checking, 'sets'));
  for (const [index, step] of steps.entries())
    for (const [item, feature] of step.reliesOn.entries()) {
      const [first] = set.get(feature) ?? [];
      if (first !== undefined && first <= index) continue;
      const { what, todo } = unset(feature, first === undefined ? undefined : steps[first]!.title);
      report(subject, stepPath(index, 'relies-on', item), 'feature-unset', what, todo);
    }
};

/** Reports a step that sets a feature and is not marked permanent, since people read the mark. */
export const checkPermanence: Check = ({ subject, steps }) => {
  for (const [index, step] of steps.entries())
    if (step.sets.length > 0 && !step.permanent)
      report(
        subject,
        stepPath(index, 'sets'),
        'permanent-missing',
        'the step sets a feature and is not marked permanent',
        'add permanent: true',
        'warning',
      );
};

const push = <T>(lists: Map<string, T[]>, key: string, item: T): void => {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [item]);
  else list.push(item);
};

interface Inspection {
  readonly hold: number;
  /** The first step that it inspects in the area. */
  readonly first: number;
}

/** The holds that inspect something in an area, in order. */
const inspections = (checking: Checking): ReadonlyMap<string, readonly Inspection[]> => {
  const reaches = rawLists(checking, 'reaches');
  const found = new Map<string, Inspection[]>();
  for (const [hold, step] of checking.steps.entries()) {
    if (step.hold?.kind !== 'hold') continue;
    const areas = new Map<string, number>();
    for (const inspected of inspectedBy(checking, hold))
      for (const area of reaches[inspected] ?? []) areas.set(area, Math.min(inspected, areas.get(area) ?? inspected));
    for (const [area, first] of areas) push(found, area, { hold, first });
  }
  return found;
};

/** Reports an area that is covered before a step that must reach it, or before a hold that inspects what was done there. */
export const checkCovers: Check = (checking) => {
  const { subject, steps } = checking;
  const reaches = placesOf(rawLists(checking, 'reaches'));
  const uncovers = placesOf(rawLists(checking, 'uncovers'));
  const holds = inspections(checking);
  for (const [index, step] of steps.entries())
    for (const [item, area] of step.covers.entries()) {
      const until = uncovers.get(area)?.find((opened) => opened > index) ?? Infinity;
      const isCovered = (one: number): boolean => one > index && one < until;
      const later = reaches.get(area)?.find(isCovered);
      const need = later ?? holds.get(area)?.find(({ hold, first }) => isCovered(hold) && first <= index)?.hold;
      if (need === undefined) continue;
      const what = `${area} is covered here, and ${shown(steps[need]!.title)} further down must still ${later === undefined ? 'inspect' : 'reach'} it`;
      report(subject, stepPath(index, 'covers', item), 'covered-early', what, 'do that first, or uncovers: it before');
    }
};
