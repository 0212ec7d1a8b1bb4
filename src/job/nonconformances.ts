import type { Step } from '../procedure/model.ts';
import type { Surroundings } from './surroundings.ts';
import { breachKey, breachText, isBreachKey, isThrownAway, whichOf } from './breach.ts';
import { allTroubles, doubtsOf } from './parts/all.ts';
import type { Which } from './parts/part.ts';
import { own } from '../fault/own.ts';
import type { Breach } from './stamp.ts';
import type { Disposition } from './judged.ts';
import type { JobState } from './state.ts';
import { walkedSteps } from './step-state.ts';
import { rejudged } from './rejudged.ts';
import { unreached } from './unreached.ts';

/** Work or a value outside its limits, and what was decided about it. */
export interface Nonconformance extends Which {
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
  /** The number of the lot in doubt. */
  readonly lot?: string;
  readonly open: boolean;
  readonly disposition?: Disposition;
}

type Raised = Omit<Nonconformance, 'open' | 'disposition'> & {
  /** Whether the work has been done anew since it was set aside; absent where it was not. */
  readonly redone?: boolean;
};

const outsideValues = (job: JobState, walked: readonly Step[]): readonly Raised[] =>
  walked.flatMap((step) =>
    allTroubles(job, step).map((trouble) => ({
      on: trouble.on,
      step: step.step,
      key: trouble.key,
      what: trouble.what,
      ...whichOf(trouble),
    })),
  );

/**
 * True where a step has been finished since an entry. Work that was set aside is then done anew and within its limits, because nothing else
 * lets a step be finished.
 */
const isRedone = (job: JobState, step: string, since: string): boolean => {
  const from = job.log.findIndex(({ entry }) => entry === since);
  return job.log
    .slice(from + 1)
    .some(
      ({ type, step: of, entry }) =>
        type === 'finish' &&
        of === step &&
        job.breaches.every((breach) => breach.entry !== entry || breach.accepted !== undefined),
    );
};

/** What was done although a rule refused it: one nonconformance for each code, until a disposition names it. */
const breached = (job: JobState): readonly Raised[] =>
  job.breaches.flatMap((breach) =>
    breach.codes.map((code) => ({
      on: breach.on,
      step: breach.step,
      key: breachKey(breach, code),
      what: breachText(job, breach, code),
      ...whichOf(breach),
      ...(breach.batch === undefined ? {} : { batch: breach.batch }),
      ...(breach.mix === undefined ? {} : { mix: breach.mix }),
      ...redoneOf(job, breach),
    })),
  );

const redoneOf = (job: JobState, breach: Breach): Pick<Raised, 'redone'> => {
  if (isThrownAway(job, breach)) return { redone: true };
  return breach.superseded === undefined ? {} : { redone: isRedone(job, breach.step, breach.superseded) };
};

const isSettingAside = ({ kind }: Disposition): boolean => kind === 'rework' || kind === 'scrap';

/** What each rework and scrap was decided about: open until the work is done anew. Breaches are listed by themselves. */
const reworked = (job: JobState): readonly Raised[] =>
  job.dispositions
    .filter((one) => isSettingAside(one) && one.covers.some((key) => !isBreachKey(key) && !isReworkKey(key)))
    .flatMap((disposition) => {
      const { entry, on, step, kind, reason } = disposition;
      if (step === undefined) return [];
      const redone = isRedone(job, step, entry);
      const what = `${on}: ${kind}, ${reason}; ${redone ? 'done anew' : 'not done anew yet'}`;
      return [{ on, step, key: reworkKey(disposition), what, redone, ...whichOf(disposition) }];
    });

const reworkKey = ({ entry }: Disposition): string => `rework ${entry}`;

const isReworkKey = (key: string): boolean => key.startsWith('rework ');

const raisedIn = (job: JobState, around: Surroundings): readonly Raised[] => {
  const walked = walkedSteps(job);
  return [
    ...outsideValues(job, walked),
    ...unreached(job, walked, around),
    ...rejudged(job, walked, around),
    ...doubtsOf(job, {
      found: (tool) => own(around.tools, tool)?.found ?? [],
      lot: around.lot,
      part: around.part,
    }),
    ...around.builtOver(),
    ...breached(job),
    ...reworked(job),
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
  raisedIn(job, around).map(({ redone, ...raised }) => {
    const disposition = dispositionOf(job, raised) ?? job.dispositions.find((one) => reworkKey(one) === raised.key);
    const open = redone !== true && !isEnded(job, raised);
    return { ...raised, open, ...(disposition ? { disposition } : {}) };
  });

/** An open nonconformance in one line, with what has been decided about it so far. */
export const openText = ({ what, disposition }: Nonconformance): string => {
  if (disposition?.kind === 'ask') return `${what}; the designer is asked`;
  return disposition !== undefined && isSettingAside(disposition) && !what.endsWith('not done anew yet')
    ? `${what}; ${disposition.kind} decided, not done anew yet`
    : what;
};

/** What to do about an open nonconformance. */
export const openTodo = ({ step, disposition }: Nonconformance): string =>
  disposition !== undefined && isSettingAside(disposition)
    ? `do ${step} anew, and finish it`
    : 'dispose of it: rework, repair, use-as-is or scrap';
