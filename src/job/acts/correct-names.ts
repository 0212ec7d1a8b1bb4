import { own } from '../../fault/own.ts';
import { stepDraft, type JobDraft } from '../draft.ts';
import type { JobState, StepState } from '../state.ts';
import type { Correctable } from './correctable.ts';

/*
 * Corrects who was named as helping. Whoever was named by mistake is no performer any more, unless they acted themselves or another entry
 * names them.
 */

type Named = StepState['named'][number];

const stepOfLine = (job: JobState, target: string): string | undefined =>
  job.log.find(({ entry }) => entry === target)?.step;

const namedBy = (job: JobState, target: string): Named | undefined =>
  own(job.steps, stepOfLine(job, target) ?? '')?.named.find(({ entry }) => entry === target);

const unique = (names: readonly string[]): string[] => [...new Set(names)];

/** Everybody named since the last interruption, by the entries that named them. */
const helpersNow = (draft: JobDraft, job: JobState): string[] => {
  const place = new Map(job.log.map(({ entry }, index) => [entry, index]));
  const since = place.get(job.interruptions.at(-1)?.entry ?? '') ?? -1;
  const named = Object.values(draft.steps).flatMap((state) => state.named as readonly Named[]);
  return unique(
    named
      .filter(({ entry }) => (place.get(entry) ?? -1) > since)
      .toSorted((one, other) => (place.get(one.entry) ?? 0) - (place.get(other.entry) ?? 0))
      .flatMap(({ names }) => names),
  );
};

/** Other names for those whom an entry named. */
export const putNames = (draft: JobDraft, target: string, names: readonly string[], job: JobState): void => {
  const step = stepOfLine(job, target);
  if (step === undefined) return;
  const state = stepDraft(draft, step);
  const was = namedBy(job, target)?.names ?? [];
  const index = state.named.findIndex(({ entry }) => entry === target);
  const others = state.named.filter(({ entry }) => entry !== target).flatMap((one) => one.names);
  const isGone = (name: string): boolean => was.includes(name) && !names.includes(name) && !others.includes(name);
  if (names.length > 0)
    state.named.splice(index < 0 ? state.named.length : index, index < 0 ? 0 : 1, { entry: target, names: [...names] });
  else if (index >= 0) state.named.splice(index, 1);
  state.performers = unique([
    ...state.performers.filter((name) => !isGone(name) || state.acted.includes(name)),
    ...names,
  ]);
  // Names of work that was set aside are not those of the work as it is now.
  if (was.every((name) => state.with.includes(name)))
    state.with = unique([...state.with.filter((name) => !isGone(name)), ...names]);
  draft.helpers = helpersNow(draft, job);
};

export const correctsBegin: Correctable<'begin'> = {
  fields: ['with'],
  otherwise: 'undo the step where it was the wrong one',
  bare: () => 'with',
  said: (job, target) => {
    const names = namedBy(job, target)?.names;
    return names === undefined ? {} : { with: names };
  },
  put: (draft, { target, now }, job) => putNames(draft, target, now.with ?? [], job),
  steps: (job, target) => [stepOfLine(job, target)].filter((step) => step !== undefined),
};

type Finished = NonNullable<StepState['finished']>;

const finishedBy = ({ steps }: JobState, target: string): Finished | undefined =>
  Object.values(steps).find(({ finished }) => finished?.entry === target)?.finished;

/** A finish has its reason beside the names, as long as it is the last finish of its step. */
export const correctsFinish: Correctable<'finish'> = {
  ...correctsBegin,
  fields: ['with', 'reason'],
  said: (job, target) => {
    const reason = finishedBy(job, target)?.reason;
    return { ...correctsBegin.said(job, target), ...(reason === undefined ? {} : { reason }) };
  },
  put: (draft, { target, was, now }, job) => {
    putNames(draft, target, now.with ?? [], job);
    for (const { finished } of Object.values(draft.steps)) {
      if (finished?.entry !== target || was.reason === now.reason) continue;
      if (now.reason === undefined) delete finished.reason;
      else finished.reason = now.reason;
    }
  },
};
