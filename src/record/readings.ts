import type { Surroundings } from '../job/surroundings.ts';
import type { EntryVerdict } from '../job/entry.ts';
import type { JobState, Try } from '../job/state.ts';
import { currentTries, latestTry, limitsNow, ownLimits, resultNow } from '../job/values.ts';
import { ownVerdict, verdictOfResult, verdictOfTry } from '../job/verdicts.ts';
import type { Reading, Result, ResultInput } from '../procedure/model.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { limitRefs } from '../quantity/limits.ts';
import { boundsText } from './bounds.ts';
import type { RecordReading, RecordResult, RecordTry } from './document-step.ts';
import { calculatedRecorded } from './calculated.ts';
import { ifSo, present, recordStampOf, unlessEmpty } from './plain.ts';
import { struckOf } from './struck.ts';
import { own } from '../fault/own.ts';

/** The limits with the values that they refer to; nothing where they refer to none. */
const limitsFilled = (job: JobState, item: Reading | Result): string | undefined => {
  const limits = ownLimits(item);
  const fixed = limits && limitRefs(limits).length > 0 ? limitsNow(job, limits) : undefined;
  return fixed && boundsText(fixed);
};

/** A twin is open or not by its latest values alone: an earlier try is told by itself. */
const verdictOf = (job: JobState, reading: Reading, taken: Try, around: Surroundings): EntryVerdict | undefined =>
  latestTry(job, reading.reading, taken) === taken
    ? verdictOfTry(job, reading, taken, around)
    : ownVerdict(job, reading, taken);

const tryOf = (job: JobState, reading: Reading, taken: Try, around: Surroundings): RecordTry =>
  present({
    number: taken.number,
    position: taken.position,
    n: reading.times > 1 ? taken.n : undefined,
    value: taken.value,
    calculated: calculatedRecorded(taken.calculated),
    verdict: verdictOf(job, reading, taken, around),
    tool: taken.tool,
    uncertainty: taken.uncertainty && Object.entries(taken.uncertainty).map(([what, value]) => `${what} ${value}`),
    reason: taken.reason,
    ...recordStampOf(taken),
    struck: struckOf(taken.struck),
    'set-aside': taken.superseded,
  });

const otherSides = (reading: Reading, around: Surroundings): RecordReading['other-sides'] =>
  around.otherSides.map((other) => ({
    side: other.side ?? '',
    job: other.id,
    values: currentTries(other, reading.reading).map((taken) => taken.value),
  }));

const unitOf = (reading: Reading): string => (reading.kind === 'quantity' ? reading.unit.name : reading.kind);

/** One reading: what was asked, within which limits, and every taking of it. */
export const recordReadingOf = (job: JobState, reading: Reading, around: Surroundings): RecordReading => {
  const quantity = reading.kind === 'quantity' ? reading : undefined;
  return present({
    reading: reading.reading,
    ask: reading.ask,
    unit: unitOf(reading),
    limits: ownLimits(reading)?.text,
    'limits-now': limitsFilled(job, reading),
    twin: quantity?.twin?.text,
    'other-sides': quantity?.twin ? otherSides(reading, around) : undefined,
    source: reading.source,
    'tool-kind': reading.tool,
    'tries-allowed': reading.tries,
    guarded: ifSo(quantity?.guarded === true),
    blind: ifSo(reading.blind),
    choices: reading.kind === 'choice' ? reading.choices : undefined,
    accept: reading.kind === 'choice' ? reading.accept : undefined,
    entered: (own(job.tries, reading.reading) ?? []).map((taken) => tryOf(job, reading, taken, around)),
  });
};

const inputText = (input: ResultInput): string =>
  input.kind === 'quantity' ? input.quantity.text : input.kind === 'id' ? input.id : input.text;

/** One calculation: what went in, what came out, and how. */
export const resultRecorded = (job: JobState, result: Result): RecordResult => {
  const calculated = resultNow(job, result.result);
  return present({
    result: result.result,
    calculation: result.calculation,
    with: Object.entries(result.from).map(([input, given]) => ({ input, is: inputText(given) })),
    limits: result.limits?.text,
    'limits-now': limitsFilled(job, result),
    source: result.source,
    value: calculated?.quantity && printQuantity(calculated.quantity),
    working: calculated?.working,
    formula: calculated?.source,
    caution: calculated?.caution,
    warnings: unlessEmpty(calculated?.warnings ?? []),
    verdict: verdictOfResult(job, result),
    missing: calculated?.why,
  });
};
