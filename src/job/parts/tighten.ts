import { own } from '../../fault/own.ts';
import type { Step, Tighten } from '../../procedure/model.ts';
import { decide, type Verdict } from '../../quantity/decision.ts';
import { parseQuantity } from '../../quantity/quantity.ts';
import type { FastenerAct, JobState } from '../state.ts';
import { limitsNow } from '../values.ts';
import {
  inspectedLine,
  supersede,
  withKeys,
  type FastenerValue,
  type FoundOf,
  type JobPart,
  type Trouble,
} from './part.ts';
import { isTakenAgain, toolDoubts } from './tool-doubt.ts';
import { shownTorque, unitOfLimits, wrenchLimits } from './wrench.ts';

const turnsVerdict = (job: JobState, text: string | undefined, limits: Tighten['past']): Verdict | undefined => {
  const fixed = limits && limitsNow(job, limits);
  const unit = fixed && unitOfLimits(fixed);
  const value = text !== undefined && unit ? parseQuantity(text, { unit }) : undefined;
  return value?.ok && fixed ? decide(value.value, fixed) : undefined;
};

/** The verdict on one fastener's values: outside where any of them is outside. */
export const verdictOfFastener = (
  job: JobState,
  tighten: Tighten,
  act: Pick<FastenerAct, 'torque' | 'drag' | 'fingerTight' | 'past'>,
): Verdict | undefined => {
  const shown = shownTorque(job, tighten, act);
  const limits = wrenchLimits(job, tighten, act);
  const verdicts = [
    shown && limits ? decide(shown, limits) : undefined,
    turnsVerdict(job, act.fingerTight, tighten.fingerTight),
    turnsVerdict(job, act.past, tighten.past),
  ].filter((verdict) => verdict !== undefined);
  if (verdicts.length === 0) return undefined;
  return verdicts.includes('outside') ? 'outside' : 'within';
};

/** The current values of one fastener (counted from 1), each from the latest act that gave one. A new value needs a new mark. */
export const fastenerNow = (job: JobState, step: string, fastener: number): FastenerAct | undefined => {
  const acts = (own(job.fasteners, step) ?? []).filter(
    (act) => act.fastener === fastener && act.superseded === undefined,
  );
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

const fastenerTroubles = (job: JobState, step: Step, tighten: Tighten): readonly Trouble[] =>
  Array.from({ length: tighten.fasteners }, (_, index) => index + 1).flatMap((fastener) => {
    const act = fastenerNow(job, step.step, fastener);
    if (!act || verdictOfFastener(job, tighten, act) !== 'outside') return [];
    const values = [act.torque, act.fingerTight, act.past].filter((value) => value !== undefined).join(', ');
    return [
      {
        on: step.step,
        step: step.step,
        key: `${act.entry}=${values}`,
        verdict: 'outside' as const,
        what: `fastener ${fastener} of ${step.step} is ${values}, outside`,
      },
    ];
  });

const hasValue = (act: FastenerAct): boolean => act.torque !== undefined || act.past !== undefined;

const fastenerDoubts = (job: JobState, step: string, found: FoundOf) => {
  const acts = own(job.fasteners, step) ?? [];
  return acts
    .filter((one) => !isTakenAgain(acts, one, found, (other) => other.fastener === one.fastener && hasValue(other)))
    .flatMap((one) =>
      toolDoubts(found, step, step, one, (tool) => `fastener ${one.fastener} of ${step} was tightened with ${tool}`),
    );
};

const inspectedAct = (step: string, act: FastenerAct): string =>
  inspectedLine(
    step,
    act.fastener,
    act.entry,
    act.torque,
    act.drag,
    act.fingerTight,
    act.past,
    act.mark && 'marked',
    act.superseded,
    act.struck.length,
  );

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
  troubles: (job, step) => (step.tighten ? fastenerTroubles(job, step, step.tighten) : []),
  doubts: (job, found) => job.plan.steps.flatMap(({ step }) => fastenerDoubts(job, step, found)),
  setAside: (draft, step, entry) => supersede(own(draft.fasteners, step.step), entry),
  rekey: (job, rename) => ({ fasteners: withKeys(job.fasteners, rename) }),
  inspected: (job, step) => (own(job.fasteners, step.step) ?? []).map((act) => inspectedAct(step.step, act)),
};
