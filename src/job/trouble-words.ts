import { own } from '../fault/own.ts';
import type { Reading, Step } from '../procedure/model.ts';
import { readingOf, resultOf, stepOf } from '../procedure/plan.ts';
import type { FixedLimits } from '../quantity/limits.ts';
import { compareQuantities, printQuantity, type Quantity } from '../quantity/quantity.ts';
import { shownLimits } from '../quantity/shown-limits.ts';
import { labelIn, slotLabel } from './labels.ts';
import { resolutionOf } from './limits-shown.ts';
import { decidingReading } from './page-then.ts';
import { outsideIn } from './parts/tighten.ts';
import type { Trouble } from './parts/part.ts';
import type { JobState, Try } from './state.ts';
import type { Surroundings } from './surroundings.ts';
import { currentTries, limitsNow, ownLimits, quantityOf, resultNow } from './values.ts';

/** A trouble as a person reads it: what it is about, and what is wrong with it. */
export interface TroubleWords {
  /** `Keel thickness, aft` */
  readonly title: string;
  /** `22.6 mm: too large, limit 22.3 mm` */
  readonly what: string;
  /** Every value that was entered in the same place and counts, oldest first; empty where there is one alone. */
  readonly tries: readonly string[];
}

/** Which end a value is beyond, and that end as a number to act on. */
const beyond = (value: Quantity, limits: FixedLimits, resolution?: Quantity): string => {
  const shown = shownLimits(limits, resolution);
  const [low, high] = [limits.low?.at, limits.high?.at];
  if (high && shown.high && compareQuantities(value, high) >= 0)
    return `too large, limit ${printQuantity(shown.high.at)}`;
  if (low && shown.low && compareQuantities(value, low) <= 0) return `too small, limit ${printQuantity(shown.low.at)}`;
  return `limits ${shown.text}`;
};

const undecided = (limits: FixedLimits | undefined): string =>
  `too near its limit to decide${limits ? `, limits ${shownLimits(limits).text}` : ''}`;

const verdictWords = (
  verdict: Trouble['verdict'],
  value: Quantity | undefined,
  limits: FixedLimits | undefined,
  resolution?: Quantity,
): string => {
  if (verdict === 'undecided') return undecided(limits);
  return value && limits ? beyond(value, limits, resolution) : 'outside its limits';
};

/** The try that a trouble is about: its key begins with the entry of it. */
const tryOf = (job: JobState, { on, key }: Trouble): Try | undefined =>
  own(job.tries, on)?.find(({ entry }) => key.startsWith(`${entry}=`));

const ofTry = (
  job: JobState,
  trouble: Trouble,
  reading: Reading,
  taken: Try,
  around: Pick<Surroundings, 'tools'>,
): TroubleWords => {
  const by = decidingReading(job, reading, taken);
  const limits = ownLimits(by.reading);
  const words =
    by.reading.kind === 'choice'
      ? `not accepted; accepted: ${by.reading.accept.join(', ')}`
      : verdictWords(
          trouble.verdict,
          quantityOf(by.reading, taken.value),
          limits && limitsNow(by.job, limits),
          resolutionOf(job, around, by.reading.tool),
        );
  const tries = currentTries(job, reading.reading, taken).map(({ value }) => value);
  return { title: slotLabel(reading, taken), what: `${taken.value}: ${words}`, tries: tries.length > 1 ? tries : [] };
};

const ofResult = (job: JobState, trouble: Trouble): TroubleWords | undefined => {
  const found = resultOf(job.plan, trouble.on)?.result;
  const value = found && resultNow(job, found.result)?.quantity;
  if (!found || !value) return undefined;
  const words = verdictWords(trouble.verdict, value, found.limits && limitsNow(job, found.limits));
  return { title: labelIn(job.plan, trouble.on), what: `${printQuantity(value)}: ${words}`, tries: [] };
};

const ofFastener = (job: JobState, step: Step, fastener: number, trouble: Trouble): TroubleWords | undefined => {
  const acts = (own(job.fasteners, step.step) ?? []).filter((act) => act.fastener === fastener);
  const outside = step.tighten && outsideIn(job, step, fastener, trouble.key);
  if (!outside) return undefined;
  const tries = acts
    .filter(({ superseded }) => superseded === undefined)
    .flatMap(({ torque, past }) => torque ?? past ?? []);
  return {
    title: step.tighten.fasteners === 1 ? step.title : `${step.title}, fastener ${fastener}`,
    what: `${outside.text}: ${beyond(outside.value, outside.limits)}`,
    tries: tries.length > 1 ? tries : [],
  };
};

/** What is wrong, by the labels that the author wrote, with the limit as a number that a person can act on. */
export const troubleWords = (job: JobState, trouble: Trouble, around: Pick<Surroundings, 'tools'>): TroubleWords => {
  const step = stepOf(job.plan, trouble.step);
  const reading = readingOf(job.plan, trouble.on)?.reading;
  const taken = trouble.verdict === 'refused' ? undefined : tryOf(job, trouble);
  const found =
    trouble.verdict === 'refused'
      ? undefined
      : reading && taken
        ? ofTry(job, trouble, reading, taken, around)
        : step && trouble.fastener !== undefined
          ? ofFastener(job, step, trouble.fastener, trouble)
          : ofResult(job, trouble);
  return found ?? { title: step?.title ?? trouble.on, what: trouble.what, tries: [] };
};
