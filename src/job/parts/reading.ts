import { ok, type Outcome } from '../../fault/fault.ts';
import { memoised } from '../../fault/memo.ts';
import { own } from '../../fault/own.ts';
import type { CountReading, QuantityReading, Reading, Step } from '../../procedure/model.ts';
import { readingOf } from '../../procedure/plan.ts';
import {
  decide,
  decideCalculated,
  decideGuarded,
  readUncertainty,
  type Uncertainty,
  type Verdict,
} from '../../quantity/decision.ts';
import { limitRefs, type FixedLimits } from '../../quantity/limits.ts';
import type { Quantity } from '../../quantity/quantity.ts';
import type { Unit } from '../../quantity/units.ts';
import { whichOf } from '../breach.ts';
import type { EntryVerdict } from '../entry.ts';
import { decidingReading } from '../page-then.ts';
import type { JobState, Try } from '../state.ts';
import type { Surroundings } from '../surroundings.ts';
import {
  currentTries,
  latestTry,
  limitsNow,
  limitsWaitFor,
  ownLimits,
  quantityOf,
  sameSlot,
  slotsOf,
  type Slot,
} from '../values.ts';
import { supersede, withKeys, type FoundOf, type JobPart, type Trouble, type Wanted } from './part.ts';
import { isTakenAgain, toolDoubts } from './tool-doubt.ts';
import { twinNow, twinRefusals } from './twin.ts';

/**
 * What the build says about an individual tool, as an uncertainty in the unit of the reading. A resolution alone says how finely the tool
 * is read, and not how far it is wrong: its uncertainty is then not known.
 */
export const uncertaintyOf = (spec: Readonly<Record<string, string>>, unit: Unit): Outcome<Uncertainty | undefined> =>
  spec['uncertainty'] === undefined && spec['calibration'] === undefined ? ok(undefined) : readUncertainty(spec, unit);

const guarded = (
  reading: QuantityReading,
  value: Quantity,
  limits: FixedLimits,
  taken: Pick<Try, 'uncertainty'>,
): Verdict => {
  const read = uncertaintyOf(taken.uncertainty ?? {}, reading.unit);
  if (!read.ok || read.value === undefined) return 'undecided';
  const decided = decideGuarded(value, limits, read.value);
  return decided.ok ? decided.value : 'undecided';
};

const ofNumber = (
  job: JobState,
  reading: QuantityReading | CountReading,
  taken: Pick<Try, 'value' | 'uncertainty' | 'calculated'>,
): Verdict | undefined => {
  const value = quantityOf(reading, taken.value);
  const limits = reading.limits && limitsNow(job, reading.limits);
  if (value === undefined || limits === undefined) return undefined;
  if (reading.kind === 'quantity' && reading.guarded) return guarded(reading, value, limits, taken);
  return taken.calculated === undefined ? decide(value, limits) : decideCalculated(value, limits);
};

/**
 * The verdict on one try by itself: plain or guarded; for a choice, by what the procedure accepts. `undefined` where there is nothing to
 * decide: a text, no limits, or limits that depend on a value not entered yet.
 */
export const ownVerdict = (
  job: JobState,
  reading: Reading,
  taken: Pick<Try, 'value' | 'uncertainty' | 'calculated'>,
): Verdict | undefined => {
  if (reading.kind === 'text') return undefined;
  if (reading.kind === 'choice') return reading.accept.includes(taken.value) ? 'within' : 'outside';
  if (reading.limits === undefined || !Object.isFrozen(taken) || limitRefs(reading.limits).length > 0)
    return ofNumber(job, reading, taken);
  // limits that name no other value depend on nothing else of the job
  const known = fixedVerdicts(taken);
  if (!known.has(reading)) known.set(reading, ofNumber(job, reading, taken));
  return known.get(reading);
};

/** The verdicts on a try by readings whose limits are numbers. */
const fixedVerdicts = memoised((_taken: object) => new Map<Reading, Verdict | undefined>());

/** The verdict on a try as the entry keeps it. `within, twin open` stops nothing until the last side exists. */
export const verdictOfTry = (
  job: JobState,
  reading: Reading,
  taken: Try,
  around: Surroundings,
): EntryVerdict | undefined => {
  const own = ownVerdict(job, reading, taken);
  if (reading.kind !== 'quantity' || !reading.twin || own === 'outside' || own === 'undecided') return own;
  return twinNow(job, reading, taken, around)?.open === true ? 'within, twin open' : 'within';
};

const missingIn = (job: JobState, reading: Reading): readonly Slot[] =>
  slotsOf(reading).filter((slot) => latestTry(job, reading.reading, slot) === undefined);

const at = ({ position }: Slot): string => (position === undefined ? '' : ` at ${position}`);

/** The missing value on which a reading's limits depend: of another reading, or a result that must be calculated first. */
const wantedAbove = (job: JobState, id: string, reading: Reading): Wanted => {
  const what = `${id}, which the limits of ${reading.reading} need`;
  const above = readingOf(job.plan, id)?.reading;
  const [slot] = above ? missingIn(job, above) : [];
  return above && slot ? { part: 'reading', reading: above, slot, what } : { part: 'result', result: id, what };
};

const readingWants = (job: JobState, reading: Reading): readonly Wanted[] => {
  const missing = missingIn(job, reading);
  const limits = ownLimits(reading);
  if (missing.length === 0) return limits ? limitsWaitFor(job, limits).map((id) => wantedAbove(job, id, reading)) : [];
  return missing.map((slot) => ({
    part: 'reading',
    reading,
    slot,
    what: `${reading.reading}${at(slot)}${reading.times > 1 ? `, time ${slot.n}` : ''}`,
  }));
};

const troubleOfTry = (job: JobState, step: Step, reading: Reading, taken: Try): readonly Trouble[] => {
  const by = decidingReading(job, reading, taken);
  const verdict = ownVerdict(by.job, by.reading, taken);
  if (verdict !== 'outside' && verdict !== 'undecided') return [];
  const asked = by.reading;
  const limits = asked.kind === 'quantity' || asked.kind === 'count' ? asked.limits?.text : asked.kind;
  const where = `${reading.reading}${at(taken)}${reading.times > 1 ? ` (${taken.n})` : ''}`;
  return [
    {
      on: reading.reading,
      step: step.step,
      key: `${taken.entry}=${taken.value}`,
      verdict,
      what: `${where} is ${taken.value}, ${verdict}${limits === undefined ? '' : ` ${limits}`}`,
      ...whichOf(taken),
    },
  ];
};

const readingTroubles = (job: JobState, step: Step, reading: Reading): readonly Trouble[] =>
  slotsOf(reading).flatMap((slot) => {
    const latest = latestTry(job, reading.reading, slot);
    const waiting = currentTries(job, reading.reading, slot).filter(({ pending }) => pending === true);
    return [...(latest ? [latest] : []), ...waiting].flatMap((taken) => troubleOfTry(job, step, reading, taken));
  });

const readingDoubts = (job: JobState, step: string, reading: string, found: FoundOf) => {
  const tries = own(job.tries, reading) ?? [];
  return tries.flatMap((taken) => {
    const doubts = toolDoubts(
      found,
      step,
      reading,
      taken,
      (tool) => `${reading} ${taken.value} was taken with ${tool}`,
      whichOf(taken),
    );
    return doubts.length > 0 && isTakenAgain(tries, taken, found, (other) => sameSlot(other, taken)) ? [] : doubts;
  });
};

export const jobReading: JobPart = {
  wants: (job, step) => step.readings.flatMap((one) => readingWants(job, one)),
  refuses: twinRefusals,
  troubles: (job, step) =>
    step.readings.flatMap((one) => (own(job.tries, one.reading) === undefined ? [] : readingTroubles(job, step, one))),
  doubts: (job, { found }) =>
    job.plan.steps.flatMap(({ step, readings }) =>
      readings.flatMap((one) => readingDoubts(job, step, one.reading, found)),
    ),
  setAside: (draft, step, entry) => {
    for (const one of step.readings) supersede(own(draft.tries, one.reading), entry);
  },
  rekey: (job, rename) => ({ tries: withKeys(job.tries, rename) }),
};
