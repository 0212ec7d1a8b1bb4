import type { Draft } from 'immer';
import type { Refusal } from '../../fault/fault.ts';
import { memoised } from '../../fault/memo.ts';
import type { PartName, Step } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import { jobBreak } from './break.ts';
import { jobCure } from './cure.ts';
import { jobHold } from './hold.ts';
import { jobLoose } from './loose.ts';
import { jobMix } from './mix.ts';
import { supersede, type Doubt, type JobPart, type KnownNow, type Trouble, type Wanted } from './part.ts';
import { jobPhoto } from './photo.ts';
import { jobReading } from './reading.ts';
import { jobResult } from './result.ts';
import { takenInHand } from './taken.ts';
import { jobTighten } from './tighten.ts';
import { jobWait } from './wait.ts';

/** Every part that a step may have, in the order in which a person does them. */
export const jobParts: { readonly [P in PartName]: JobPart } = {
  reading: jobReading,
  result: jobResult,
  tighten: jobTighten,
  mix: jobMix,
  cure: jobCure,
  break: jobBreak,
  hold: jobHold,
  loose: jobLoose,
  photo: jobPhoto,
  wait: jobWait,
};

// Materials and parts that a step takes in hand are no work of their own, and yet are in doubt, set aside and inspected with it.
const parts: readonly JobPart[] = [...Object.values(jobParts), takenInHand];

// Most parts have no troubles and no doubts of their own. Everything that asks for them goes through the parts that have.
const [refusing, troubling, doubting] = [
  parts.flatMap(({ refuses }) => refuses ?? []),
  parts.flatMap(({ troubles }) => troubles ?? []),
  parts.flatMap(({ doubts }) => doubts ?? []),
];

/** What a step still wants before it can be finished, in the order in which a person would do it. */
export const wantedOf = (job: JobState, step: Step): readonly Wanted[] =>
  parts.flatMap((part) => part.wants(job, step));

/** What refuses the finish of a step although everything is entered. */
export const refusedByParts = (job: JobState, step: Step, moment: Moment): readonly Refusal[] =>
  refusing.flatMap((refuses) => refuses(job, step, moment));

/** Every value of a step that is outside or undecided, whether or not a disposition covers it. */
export const allTroubles = (job: JobState, step: Step): readonly Trouble[] => {
  // A job that moved to another page is judged by when its values were taken, which its log says.
  if (job.moves.length > 0 || !Object.isFrozen(job)) return findTroubles(job, step);
  const { plan, tries, fasteners, batches } = job;
  const known = lastJudged(tries);
  const isSame = known.plan === plan && known.fasteners === fasteners && known.batches === batches;
  if (!isSame) Object.assign(known, { plan, fasteners, batches, byStep: new Map() });
  const found = known.byStep.get(step) ?? findTroubles(job, step);
  known.byStep.set(step, found);
  return found;
};

const findTroubles = (job: JobState, step: Step): readonly Trouble[] =>
  troubling.flatMap((troubles) => troubles(job, step));

/**
 * What was found of the steps of a job with these values. Its troubles follow from its plan, tries, fasteners and batches alone, and most
 * entries change none of them.
 */
const lastJudged = memoised((_tries: JobState['tries']) => ({
  byStep: new Map<Step, readonly Trouble[]>(),
  plan: undefined as JobState['plan'] | undefined,
  fasteners: undefined as JobState['fasteners'] | undefined,
  batches: undefined as JobState['batches'] | undefined,
}));

/**
 * Rule 7 of the design within one job: every joint of a batch in doubt, then everything else that rests on a tool, a lot or a part that turned out
 * wrong, by step.
 */
export const doubtsOf = (job: JobState, known: KnownNow): readonly Doubt[] => {
  const doubts = doubting.flatMap((doubts) => doubts(job, known));
  if (doubts.length < 2) return doubts;
  const place = new Map(job.plan.steps.map(({ step }, index) => [step, index]));
  const order = ({ batch, step }: Doubt): number => (batch === undefined ? (place.get(step) ?? 0) : -1);
  return doubts.toSorted((one, other) => order(one) - order(other));
};

/**
 * Sets everything in a step aside, because the step must be done anew: it stays readable and no longer counts. `entry` is the id of the
 * entry that says so.
 */
export const setStepAside = (draft: Draft<JobState>, step: Step, entry: string): void => {
  for (const part of parts) part.setAside(draft, step, entry);
  supersede(
    draft.breaches.filter((one) => [one.step, one.mix].includes(step.step) && one.accepted === undefined),
    entry,
  );
};

/** Everything that was entered in the parts of steps, under the new ids. */
export const rekeyParts = (job: JobState, rename: (id: string) => string): Partial<JobState> =>
  Object.assign({}, ...parts.map((part) => part.rekey?.(job, rename))) as Partial<JobState>;
