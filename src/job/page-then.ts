import type { Reading, Step } from '../procedure/model.ts';
import { readingOf, stepOf, type Plan } from '../procedure/plan.ts';
import type { JobState, Move, Try } from './state.ts';
import { ownLimits } from './values.ts';

/** The page that a job followed when something was entered, where it follows another one now. */
export interface PageThen {
  readonly plan: Plan;
  readonly revision: string;
  readonly step: (id: string) => Step | undefined;
  readonly reading: (id: string) => Reading | undefined;
}

/** The id that a step or reading had before a move, by its id after it. */
const idBefore = (id: string, { renamed }: Move): string =>
  Object.entries(renamed).find(([, now]) => now === id)?.[0] ?? id;

/** The page of the time of an entry; `undefined` where the job still follows it. */
export const pageThen = (job: JobState, entry: string): PageThen | undefined => {
  if (job.moves.length === 0) return undefined;
  const place = job.log.findIndex((one) => one.entry === entry);
  const later = job.moves.filter((move) => job.log.findIndex((one) => one.entry === move.entry) > place);
  const [first] = later;
  if (place === -1 || first === undefined) return undefined;
  const then = (id: string): string => later.toReversed().reduce(idBefore, id);
  const { before: plan, from } = first;
  return {
    plan,
    revision: from.revision,
    step: (id) => stepOf(plan, then(id)),
    reading: (id) => readingOf(plan, then(id))?.reading,
  };
};

const askedText = (reading: Reading): string =>
  JSON.stringify([reading.kind, ownLimits(reading)?.text, reading.kind === 'choice' ? reading.accept : []]);

/** A reading as the page had it by which a try was decided, where the page of now has other limits for it. */
export interface ReadingThen {
  readonly reading: Reading;
  readonly revision: string;
  /** The job as far as deciding by that page needs it. */
  readonly job: JobState;
}

export const readingThen = (
  job: JobState,
  reading: Reading,
  { entry }: Pick<Try, 'entry'>,
): ReadingThen | undefined => {
  const page = pageThen(job, entry);
  const old = page?.reading(reading.reading);
  if (!page || !old || askedText(old) === askedText(reading)) return undefined;
  return { reading: old, revision: page.revision, job: { ...job, plan: page.plan } };
};

/** True where the builder decided that a change of this reading does not ask anything of this job. */
const isLeftAsWas = (job: JobState, reading: string): boolean => {
  const step = readingOf(job.plan, reading)?.step.step ?? '';
  const about = job.resolutions.findLast(
    ({ sha256, covers }) => sha256 === job.sha256 && covers.some((key) => key.startsWith(`${step} ${reading} `)),
  );
  return about?.kind === 'record-only' || about?.kind === 'not-applicable';
};

/**
 * The reading by which a try is decided now: that of the page which the job follows, unless the builder decided that its change is for
 * the record only, or does not apply; then that of the page by which the try was taken.
 */
export const decidingReading = (
  job: JobState,
  reading: Reading,
  taken: Pick<Try, 'entry'>,
): { readonly job: JobState; readonly reading: Reading } =>
  job.moves.length > 0 && isLeftAsWas(job, reading.reading)
    ? (readingThen(job, reading, taken) ?? { job, reading })
    : { job, reading };
