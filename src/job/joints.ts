import { own } from '../fault/own.ts';
import type { Step } from '../procedure/model.ts';
import type { Batch, JobState, Logged } from './state.ts';
import { joins } from './verbs.ts';

/**
 * The joints of a batch: every step within its pot life that was worked on between the mixing and the setting aside of the batch, with the
 * last entry there. In a procedure without such steps, the mix step itself. A batch discarded before use has none.
 */
export const jointsOf = (job: JobState, batch: Batch): readonly Logged[] => {
  if (batch.discarded) return [];
  const glued = job.plan.steps.filter((step) => step.inPotLifeOf.includes(batch.step)).map((step) => step.step);
  const wanted = glued.length > 0 ? glued : [batch.step];
  const index = (entry: string | undefined): number => job.log.findIndex((one) => one.entry === entry);
  const [from, until] = [index(batch.entry), batch.superseded === undefined ? job.log.length : index(batch.superseded)];
  const during = job.log.slice(from + 1, until).filter((one) => joins(one.type));
  return wanted.flatMap((step) => during.findLast((one) => one.step === step) ?? []);
};

/** The steps that need a batch wet and were finished since it was mixed. */
export const gluedWith = (job: JobState, batch: Batch): readonly Step[] => {
  const index = (entry: string | undefined): number => job.log.findIndex((one) => one.entry === entry);
  const mixed = index(batch.entry);
  return job.plan.steps.filter((step) => {
    const state = own(job.steps, step.step);
    return step.inPotLifeOf.includes(batch.step) && state?.state === 'done' && index(state.finished?.entry) > mixed;
  });
};

/** True once a step that needs a batch wet was finished with it. In a procedure without such steps, a batch is never used up. */
export const wasUsed = (job: JobState, batch: Batch): boolean => gluedWith(job, batch).length > 0;

/**
 * True once something was made with a batch: with the glue still wet or, in a procedure without such steps, at the mix step itself, once
 * that is finished.
 */
export const isBuiltWith = (job: JobState, batch: Batch): boolean =>
  wasUsed(job, batch) ||
  (job.plan.steps.every((step) => !step.inPotLifeOf.includes(batch.step)) &&
    own(job.steps, batch.step)?.state === 'done');

/**
 * True where a correction showed that a batch was outside its ratio, and something had been made with it. A cup found outside before that is
 * discarded instead.
 */
export const isOutOfRatio = (batch: Batch): boolean => !batch.inRatio && batch.discarded === undefined;

/** The cause shared by all doubts about a batch outside its ratio. Other weights need another disposition. */
export const causeOfRatio = ({ entry, weights }: Batch): string => `ratio ${entry}=${Object.values(weights).join('/')}`;

export const becauseOfRatio = ({ batch }: Batch): string => `${batch}, found to be outside its ratio`;

export const sampleFailed = (batch: Batch): boolean => batch.sample?.broken?.result === 'failed';

/** The cause shared by all doubts about a batch whose sample failed. */
export const causeOfSample = (batch: Batch): string => `sample ${batch.sample?.broken?.entry ?? ''}`;

export const becauseOfSample = (batch: Batch): string =>
  `${batch.batch}, whose sample ${batch.sample?.id ?? ''} failed`;
