import { fixLimits, type FixedLimits, type Limits } from '../../quantity/limits.ts';
import { compareQuantities, toBase } from '../../quantity/quantity.ts';
import type { Reading, Step } from '../model.ts';
import { shown } from '../message.ts';
import { neverNegativeOf } from '../parts/parts.ts';
import { type Subject, report } from '../subject.ts';
import { type Check, type Checking, stepPath } from './checking.ts';

/** Limits whose ends are quantities; undefined where an id stands for an end. */
const fixed = (limits: Limits | undefined): FixedLimits | undefined =>
  limits === undefined ? undefined : fixLimits(limits, () => undefined);

/** Whether a whole number from 0 lies within. */
const hasCount = ({ low, high }: FixedLimits): boolean => {
  const from = low === undefined ? 0 : Number(toBase(low.at).ceil().valueOf());
  const excluded = low?.included === false && toBase(low.at).equals(from);
  const least = Math.max(0, excluded ? from + 1 : from);
  if (high === undefined) return true;
  const compared = toBase(high.at).compare(least);
  return compared > 0 || (compared === 0 && high.included);
};

const isApart = (below: FixedLimits, above: FixedLimits): boolean => {
  if (below.high === undefined || above.low === undefined) return false;
  const compared = compareQuantities(below.high.at, above.low.at);
  return compared < 0 || (compared === 0 && !(below.high.included && above.low.included));
};

/** A guarded reading needs room for the uncertainty of its tool on both sides. */
const hasRoom = ({ low, high }: FixedLimits): boolean =>
  low === undefined || high === undefined || compareQuantities(low.at, high.at) < 0;

const isPossible = (reading: Reading, limits: FixedLimits): boolean =>
  reading.kind === 'count' ? hasCount(limits) : reading.kind !== 'quantity' || !reading.guarded || hasRoom(limits);

/** Whether any value from zero lies within; with `aboveZero`, any above it. */
const reachesUp = ({ high }: FixedLimits, aboveZero: boolean): boolean => {
  if (high === undefined) return true;
  const compared = toBase(high.at).compare(0);
  return compared > 0 || (compared === 0 && high.included && !aboveZero);
};

const checkNegative = (subject: Subject, step: Step, index: number): void => {
  for (const { limits, path, what: name, aboveZero } of neverNegativeOf(step)) {
    const is = fixed(limits);
    if (is === undefined || reachesUp(is, aboveZero)) continue;
    const what = `${name} is never ${shown(is.text)}`;
    report(subject, stepPath(index, ...path), 'never-accepted', what, 'check the limits against the source');
  }
};

/** Reports limits that no value can meet. */
export const checkAcceptance: Check = ({ subject, steps }) => {
  for (const [index, step] of steps.entries()) checkNegative(subject, step, index);
  for (const [index, step] of steps.entries())
    for (const [number, reading] of step.readings.entries()) {
      const limits = 'limits' in reading ? fixed(reading.limits) : undefined;
      if (limits === undefined || isPossible(reading, limits)) continue;
      const what =
        reading.kind === 'count'
          ? `no whole number lies within ${shown(limits.text)}`
          : `${shown(limits.text)} leaves no room for the uncertainty of any tool`;
      const path = stepPath(index, 'readings', number, 'limits');
      report(subject, path, 'never-accepted', what, 'widen the limits, or change what is entered');
    }
};

const readingNamed = ({ names }: Checking, id: string): { reading?: Reading; step: number } | undefined => {
  const found = names.values.named.get(id);
  return found === undefined ? undefined : { step: found.step, ...(found.reading && { reading: found.reading }) };
};

/** Reports a condition that no value can meet, or whose reading is taken in a step that is never reached. */
export const checkReach: Check = (checking) => {
  const { subject, steps } = checking;
  const unreached = new Set<number>();
  for (const [index, step] of steps.entries()) {
    if (step.onlyIf === undefined) continue;
    const path = stepPath(index, 'only-if');
    const found = readingNamed(checking, step.onlyIf.reading);
    const is = fixed(step.onlyIf.is);
    if (found !== undefined && unreached.has(found.step)) {
      unreached.add(index);
      const what = `${step.onlyIf.reading} is taken in ${shown(steps[found.step]!.title)}, which is never reached`;
      report(subject, path, 'never-reached', what, 'decide by a reading that is taken');
    } else if (is !== undefined && found?.reading?.kind === 'count' && !hasCount(is)) {
      unreached.add(index);
      report(subject, path, 'never-reached', `no count is ${step.onlyIf.is.text}`, 'change the condition');
    } else if (is !== undefined && found?.reading !== undefined && 'limits' in found.reading) {
      const limits = fixed(found.reading.limits);
      if (limits === undefined || !(isApart(limits, is) || isApart(is, limits))) continue;
      const what = `a value within ${shown(limits.text)} is never ${is.text}: only a disposition leads here`;
      report(subject, path, 'reached-outside', what, 'check the condition against the limits', 'warning');
    }
  }
};
