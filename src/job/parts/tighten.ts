import { own } from '../../fault/own.ts';
import type { Step, Tighten } from '../../procedure/model.ts';
import { decide, type Verdict } from '../../quantity/decision.ts';
import type { FixedLimits } from '../../quantity/limits.ts';
import { compareQuantities, parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import type { FastenerAct, JobState } from '../state.ts';
import { limitsNow } from '../values.ts';
import { supersede, withKeys, type FastenerValue, type FoundOf, type JobPart, type Trouble } from './part.ts';
import { isTakenAgain, toolDoubts } from './tool-doubt.ts';
import { shownTorque, unitOfLimits, wrenchLimits } from './wrench.ts';

type FastenerValues = Pick<FastenerAct, 'torque' | 'drag' | 'fingerTight' | 'past'>;

const turnsIn = (text: string | undefined, limits: FixedLimits | undefined): Quantity | undefined => {
  const unit = limits && unitOfLimits(limits);
  const value = text !== undefined && unit ? parseQuantity(text, { unit }) : undefined;
  return value?.ok ? value.value : undefined;
};

/** Each value of a fastener that can be decided, with its limits. */
const decidable = (
  job: JobState,
  tighten: Tighten,
  act: FastenerValues,
): readonly { readonly text: string; readonly value: Quantity; readonly limits: FixedLimits }[] => {
  const turns = ([text, limits]: readonly [string | undefined, Tighten['past']]) => {
    const fixed = limits && limitsNow(job, limits);
    return { text, limits: fixed, value: turnsIn(text, fixed) };
  };
  return [
    { text: act.torque, value: shownTorque(job, tighten, act), limits: wrenchLimits(job, tighten, act) },
    turns([act.fingerTight, tighten.fingerTight]),
    turns([act.past, tighten.past]),
  ].flatMap(({ text, value, limits }) => (text !== undefined && value && limits ? [{ text, value, limits }] : []));
};

/** The verdict on one fastener's values: outside where any of them is outside. */
export const verdictOfFastener = (job: JobState, tighten: Tighten, act: FastenerValues): Verdict | undefined => {
  const verdicts = decidable(job, tighten, act).map(({ value, limits }) => decide(value, limits));
  if (verdicts.length === 0) return undefined;
  return verdicts.includes('outside') ? 'outside' : 'within';
};

/** Everything entered for one fastener (counted from 1) that no rework or undo has set aside. */
export const currentActs = (job: JobState, step: string, fastener: number): readonly FastenerAct[] =>
  (own(job.fasteners, step) ?? []).filter((act) => act.fastener === fastener && act.superseded === undefined);

/**
 * The current values of one fastener (counted from 1), each from the latest act that gave one and that counts. A new value needs a new mark.
 */
export const fastenerNow = (job: JobState, step: string, fastener: number): FastenerAct | undefined => {
  const acts = currentActs(job, step, fastener).filter(({ pending }) => pending === undefined);
  if (acts.length === 0) return undefined;
  return acts.reduce((merged, act) => ({
    ...merged,
    ...act,
    mark: merged.mark && act.torque === undefined && act.past === undefined ? true : act.mark,
  }));
};

/** What one fastener (counted from 1) still wants. */
export const fastenerMissing = (job: JobState, step: Step, fastener: number): readonly FastenerValue[] => {
  const tighten = step.tighten;
  if (!tighten) return [];
  const now = fastenerNow(job, step.step, fastener);
  const values: readonly (readonly [FastenerValue, boolean])[] = [
    ['torque', tighten.torque !== undefined && now?.torque === undefined],
    ['turns by hand', tighten.fingerTight !== undefined && now?.fingerTight === undefined],
    ['turns past finger-tight', tighten.past !== undefined && now?.past === undefined],
    ['mark', tighten.mark && now?.mark !== true],
  ];
  return values.flatMap(([value, isMissing]) => (isMissing ? [value] : []));
};

const isAbove = (value: Quantity, { at, included }: NonNullable<FixedLimits['high']>): boolean =>
  compareQuantities(value, at) > (included ? 0 : -1);

/** The key by which a disposition covers the values of one act. */
const keyOf = (act: FastenerAct): string =>
  `${act.entry}=${[act.torque, act.fingerTight, act.past].filter((value) => value !== undefined).join(', ')}`;

/** The first value of a fastener that is outside its limits, in the acts that a trouble's key names. */
export const outsideIn = (
  job: JobState,
  step: Step,
  fastener: number,
  key: string,
): { readonly text: string; readonly value: Quantity; readonly limits: FixedLimits } | undefined => {
  const { tighten } = step;
  const now = fastenerNow(job, step.step, fastener);
  const acts = [...(now ? [now] : []), ...currentActs(job, step.step, fastener)];
  const act = acts.find((one) => keyOf(one) === key);
  return (
    tighten && act && decidable(job, tighten, act).find(({ value, limits }) => decide(value, limits) === 'outside')
  );
};

/** The value that is above its upper limit. */
const overIn = (job: JobState, tighten: Tighten, act: FastenerValues): string | undefined =>
  decidable(job, tighten, act).find(({ value, limits }) => limits.high !== undefined && isAbove(value, limits.high))
    ?.text;

const fastenerTroubles = (job: JobState, step: Step, tighten: Tighten): readonly Trouble[] =>
  Array.from({ length: tighten.fasteners }, (_, index) => index + 1).flatMap((fastener) => {
    const now = fastenerNow(job, step.step, fastener);
    const waiting = currentActs(job, step.step, fastener).filter(({ pending }) => pending === true);
    return [...(now ? [now] : []), ...waiting]
      .filter((act) => verdictOfFastener(job, tighten, act) === 'outside')
      .map((act) => {
        const values = [act.torque, act.fingerTight, act.past].filter((value) => value !== undefined).join(', ');
        return {
          on: step.step,
          step: step.step,
          key: keyOf(act),
          verdict: 'outside' as const,
          what: `fastener ${fastener} of ${step.step} is ${values}, outside`,
          fastener,
          ...(overIn(job, tighten, act) === undefined ? {} : { isFinal: true as const }),
        };
      });
  });

/** Over-tightened, and not accepted by a disposition: `fastener 3 of clamp is 210 in·lb`. `undefined` for any other fastener. */
export const overTightened = (job: JobState, step: Step, tighten: Tighten, fastener: number): string | undefined => {
  const act = fastenerNow(job, step.step, fastener);
  if (!act || job.dispositions.some(({ kind, covers }) => kind !== 'ask' && covers.includes(keyOf(act))))
    return undefined;
  const over = overIn(job, tighten, act);
  return over === undefined ? undefined : `fastener ${fastener} of ${step.step} is ${over}`;
};

export const hasValue = (act: Pick<FastenerAct, 'torque' | 'past'>): boolean =>
  act.torque !== undefined || act.past !== undefined;

const fastenerDoubts = (job: JobState, step: string, found: FoundOf) => {
  const acts = own(job.fasteners, step) ?? [];
  return acts.flatMap((one) => {
    const what = (tool: string): string => `fastener ${one.fastener} of ${step} was tightened with ${tool}`;
    const doubts = toolDoubts(found, step, step, one, what, { fastener: one.fastener });
    const same = (other: FastenerAct): boolean => other.fastener === one.fastener && hasValue(other);
    return doubts.length > 0 && isTakenAgain(acts, one, found, same) ? [] : doubts;
  });
};

export const jobTighten: JobPart = {
  wants: (job, step) => {
    const wanted = step.tighten;
    if (!wanted) return [];
    return wanted.order.flatMap((fastener) => {
      const missing = fastenerMissing(job, step, fastener);
      const what = `fastener ${fastener}: ${missing.join(', ')}`;
      return missing.length === 0 ? [] : [{ part: 'tighten' as const, tighten: wanted, fastener, missing, what }];
    });
  },
  troubles: (job, step) =>
    step.tighten && own(job.fasteners, step.step) !== undefined ? fastenerTroubles(job, step, step.tighten) : [],
  doubts: (job, { found }) => job.plan.steps.flatMap(({ step }) => fastenerDoubts(job, step, found)),
  setAside: (draft, step, entry) => supersede(own(draft.fasteners, step.step), entry),
  rekey: (job, rename) => ({ fasteners: withKeys(job.fasteners, rename) }),
};
