import type { Step } from '../procedure/model.ts';
import type { Surroundings } from './surroundings.ts';
import { cureNow, msOf } from './cure.ts';
import { allTroubles, doubtsOf } from './parts/all.ts';
import { own } from '../fault/own.ts';
import type { Disposition, JobState } from './state.ts';
import { stepStateOf, walkedSteps } from './step-state.ts';

/** Work or a value outside its limits, and what was decided about it. */
export interface Nonconformance {
  readonly on: string;
  readonly step: string;
  /** The key by which a disposition covers the nonconformance. */
  readonly key: string;
  readonly what: string;
  /** Why the work is in doubt, where something else put it in doubt. A disposition of that cause covers this nonconformance too. */
  readonly cause?: string;
  /** The batch in doubt, and the step where it was mixed. */
  readonly batch?: string;
  readonly mix?: string;
  readonly open: boolean;
  readonly disposition?: Disposition;
}

type Raised = Omit<Nonconformance, 'open' | 'disposition'>;

/** Cures that were finished and are no longer reached, because of a late reading or a correction. */
const unreachedCures = (job: JobState, walked: readonly Step[], around: Surroundings): readonly Raised[] =>
  walked.flatMap((step) => {
    const { state, finished } = stepStateOf(job, step.step);
    if (!step.cure || state !== 'done' || !finished) return [];
    const stage = cureNow(job, step, around, msOf(finished.when))?.stages.find((one) => one.stage === step.cure?.until);
    return stage === undefined || stage.reached
      ? []
      : [
          {
            on: step.step,
            step: step.step,
            key: `cure ${finished.entry}`,
            what: `the cure ${step.step} had not reached ${stage.stage} when it was finished`,
          },
        ];
  });

const outsideValues = (job: JobState, walked: readonly Step[]): readonly Raised[] =>
  walked.flatMap((step) => allTroubles(job, step).map(({ on, key, what }) => ({ on, step: step.step, key, what })));

const raisedIn = (job: JobState, around: Surroundings): readonly Raised[] => {
  const walked = walkedSteps(job);
  return [
    ...outsideValues(job, walked),
    ...unreachedCures(job, walked, around),
    ...doubtsOf(job, (tool) => own(around.tools, tool)?.found ?? []),
    ...around.builtOver(),
  ];
};

/** Repair and use-as-is end a nonconformance. `ask` leaves it open. Rework and scrap end it once the work is done anew. */
const isEnding = (disposition: Disposition): boolean =>
  disposition.kind === 'repair' || disposition.kind === 'use-as-is';

/** The last disposition that covers a nonconformance: by its own key, or by its cause. */
export const dispositionOf = (
  job: JobState,
  raised: { readonly key: string; readonly cause?: string },
): Disposition | undefined =>
  job.dispositions.findLast(
    ({ covers }) => covers.includes(raised.key) || (raised.cause !== undefined && covers.includes(raised.cause)),
  );

export const isEnded = (job: JobState, raised: { readonly key: string; readonly cause?: string }): boolean => {
  const disposition = dispositionOf(job, raised);
  return disposition !== undefined && isEnding(disposition);
};

/** Every nonconformance that a job has now, open or decided. */
export const nonconformances = (job: JobState, around: Surroundings): readonly Nonconformance[] =>
  raisedIn(job, around).map((raised) => {
    const disposition = dispositionOf(job, raised);
    return { ...raised, open: !isEnded(job, raised), ...(disposition ? { disposition } : {}) };
  });
