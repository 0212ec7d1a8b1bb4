import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import type { FastenerAct, JobState, Logged, Try } from '../../job/state.ts';
import type { Stamp } from '../../job/stamp.ts';
import { joins } from '../../job/verbs.ts';
import type { Step } from '../../procedure/model.ts';
import { stepOf } from '../../procedure/plan.ts';
import { groundAt, type Ground } from '../over.ts';

type RestKind =
  | 'lot'
  | 'batch'
  | 'joint'
  | 'value'
  | 'result'
  | 'fastener'
  | 'sample'
  | 'cure'
  | 'stage'
  | 'part'
  | 'loose'
  | 'photo'
  | 'look'
  | 'decision';

/** One thing that depends directly on what is traced. */
export interface Rest {
  readonly kind: RestKind;
  readonly job: string;
  readonly step: string;
  readonly title: string;
  /** The thing in words, for a person. */
  readonly what: string;
  readonly entry?: string;
  readonly when?: string;
  readonly by?: string;
  readonly batch?: string;
  /** The entry after which the thing no longer counts: it was taken apart, or replaced. */
  readonly setAside?: string;
}

export const rest = (
  job: JobState,
  step: Step | undefined,
  kind: RestKind,
  what: string,
  stamp?: Pick<Stamp, 'entry' | 'when' | 'by'>,
  more: { readonly batch?: string; readonly superseded?: string | undefined } = {},
): Rest => ({
  kind,
  job: job.id,
  step: step?.step ?? '',
  title: step?.title ?? job.plan.title,
  what,
  ...(stamp ? { entry: stamp.entry, when: stamp.when, by: stamp.by } : {}),
  ...(more.batch === undefined ? {} : { batch: more.batch }),
  ...(more.superseded === undefined ? {} : { setAside: more.superseded }),
});

/** `resin 100 g, hardener 44 g`. */
export const pairs = (map: Readonly<Record<string, string>>): string =>
  Object.entries(map)
    .map(([name, value]) => `${name} ${value}`)
    .join(', ');

const actText = (act: FastenerAct): string =>
  pairs(
    Object.fromEntries(
      [
        ['torque', act.torque],
        ['finger-tight', act.fingerTight],
        ['past', act.past],
        ['drag', act.drag],
      ].flatMap(([name, value]) => (name === undefined || value === undefined ? [] : [[name, value]])),
    ),
  ) || (act.mark ? 'mark' : '');

/** The values and fasteners of a step that a test picks out, set aside or not. */
export const valuesAt = (
  job: JobState,
  step: Step,
  isMeant: (one: Try | FastenerAct) => boolean,
  batch?: string,
): readonly Rest[] => {
  const more = batch === undefined ? {} : { batch };
  return [
    ...step.readings.flatMap(({ reading }) =>
      (own(job.tries, reading) ?? []).filter(isMeant).map((one) => {
        const where = one.position === undefined ? '' : ` at ${one.position}`;
        return rest(job, step, 'value', `${reading}${where} ${one.value}`, one, {
          ...more,
          superseded: one.superseded,
        });
      }),
    ),
    ...(own(job.fasteners, step.step) ?? []).filter(isMeant).map((act) =>
      rest(job, step, 'fastener', `fastener ${act.fastener}: ${actText(act)}`, act, {
        ...more,
        superseded: act.superseded,
      }),
    ),
  ];
};

/** What was taken in hand at a step: from the entry on that says so, until the one that took the work apart. */
interface TakenAt extends Pick<Stamp, 'entry' | 'when'> {
  readonly step: string;
  readonly superseded?: string;
}

/** The last work on a step while a thing was in hand there. */
const lastWork = (job: JobState, { entry, step, superseded }: TakenAt): Logged | undefined => {
  const index = (id: string): number => job.log.findIndex((one) => one.entry === id);
  const until = superseded === undefined ? job.log.length : index(superseded);
  return job.log.slice(index(entry), until).findLast((one) => joins(one.type) && one.step === step);
};

/** The work that was done at a step with a thing in hand, and its values. */
export const workWith = (job: JobState, taken: TakenAt): readonly Rest[] => {
  const step = stepOf(job.plan, taken.step);
  const last = lastWork(job, taken);
  if (!step || !last) return [];
  const { superseded } = taken;
  const since = msOf(taken.when);
  return [
    rest(job, step, 'joint', last.type === 'finish' ? 'finished' : 'begun', last, { superseded }),
    ...valuesAt(job, step, (one) => msOf(one.when) >= since && one.superseded === superseded),
  ];
};

/** The same work as ground on which other work may have been built. */
export const groundWith = (job: JobState, taken: TakenAt): readonly Ground[] => {
  const last = lastWork(job, taken);
  return last === undefined ? [] : groundAt(job, taken.step, msOf(last.when), taken.superseded);
};
