import * as z from 'zod/mini';
import { own } from '../../fault/own.ts';
import type { EntryVerdict } from '../../job/entry.ts';
import type { JobState, Try } from '../../job/state.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { allLatest, latestTry, ownLimits, slotsOf } from '../../job/values.ts';
import { readingThen } from '../../job/page-then.ts';
import { twinNow } from '../../job/parts/twin.ts';
import { readingOf as readingIn } from '../../procedure/plan.ts';
import { ownVerdict, verdictOfTry } from '../../job/parts/reading.ts';
import { recalculate } from '../../job/calculated.ts';
import type { Reading } from '../../procedure/model.ts';
import { agreesWithCalculated, decide, decideCalculated, type Verdict } from '../../quantity/decision.ts';
import { fixLimits, parseLimits } from '../../quantity/limits.ts';
import { parseQuantity, printQuantity } from '../../quantity/quantity.ts';
import { findUnit } from '../../quantity/units.ts';
import { calculatedAgain, calculatedRecorded } from '../calculated.ts';
import { limitsFilled } from '../limits.ts';
import { foundWrong, passed, type Observation } from '../observe.ts';
import { ifSo, present, presentOf, recordStampOf, unlessEmpty } from '../plain.ts';
import {
  calculated,
  optionalShape,
  setAside,
  stamp,
  struck,
  textShape,
  textsShape,
  verdict,
  wholeShape,
  yes,
  type Frozen,
} from '../shapes.ts';
import { refused, refusedOf } from '../refused.ts';
import { struckIn } from '../../job/struck.ts';
import { struckOf } from '../struck.ts';
import type { RecordedPart } from './part.ts';

/** One taking of a reading. */
const tryShape = z.strictObject({
  number: wholeShape,
  /** Where, and which time, for readings taken at several places or several times. */
  position: optionalShape(textShape),
  n: optionalShape(wholeShape),
  /** As entered, or as last corrected. dryfit has never seen the work itself. */
  value: textShape,
  /** How the value was calculated, where nobody read it off a tool. Such a value is decided with its error bound. */
  calculated: optionalShape(calculated),
  /** By the limits of its own time; absent where the reading has nothing to decide. */
  verdict: optionalShape(verdict),
  /** The page of that time and its limits, where the job follows another page now; and what the new page says of the latest try. */
  'by-page': optionalShape(
    z.strictObject({ revision: textShape, limits: optionalShape(textShape), accept: optionalShape(textsShape) }),
  ),
  'verdict-now': optionalShape(verdict),
  /** The individual tool, and its U (k = 2) as the build had it then. */
  tool: optionalShape(textShape),
  uncertainty: optionalShape(textsShape),
  /** Why it was taken again. */
  reason: optionalShape(textShape),
  refused,
  ...stamp,
  struck: z.array(struck),
  'set-aside': setAside,
});

const readingShape = z.strictObject({
  reading: textShape,
  ask: optionalShape(textShape),
  /** The unit's name, or `count`, `text`, `choice`. */
  unit: textShape,
  /** As the procedure has them. */
  limits: optionalShape(textShape),
  /** With the values that they refer to put in. */
  'limits-now': optionalShape(textShape),
  /** The largest difference between the sides, and what the other sides had. */
  twin: optionalShape(textShape),
  'other-sides': optionalShape(
    z.array(
      z.strictObject({
        side: textShape,
        job: textShape,
        /** The value of that side which counts, at each place. */
        values: textsShape,
        /** The step of that side is finished. */
        finished: optionalShape(yes),
      }),
    ),
  ),
  /** The largest difference between the sides, place by place, once more than one has a value. */
  difference: optionalShape(textsShape),
  source: optionalShape(textShape),
  'tool-kind': optionalShape(textShape),
  /** How often it might be taken. */
  'tries-allowed': optionalShape(wholeShape),
  guarded: optionalShape(yes),
  /** The limits were shown only after the value was entered. */
  blind: optionalShape(yes),
  choices: optionalShape(textsShape),
  accept: optionalShape(textsShape),
  entered: z.array(tryShape),
});

const readingsShape = z.array(readingShape);

export type RecordTry = Frozen<z.infer<typeof tryShape>>;
export type RecordReading = Frozen<z.infer<typeof readingShape>>;

const triesOf = (job: JobState, reading: Reading): readonly Try[] => own(job.tries, reading.reading) ?? [];

/** Only the latest try is compared with the other sides; an earlier one is decided by its own limits alone. */
const verdictOf = (job: JobState, reading: Reading, taken: Try, around: Surroundings): EntryVerdict | undefined =>
  latestTry(job, reading.reading, taken) === taken
    ? verdictOfTry(job, reading, taken, around)
    : ownVerdict(job, reading, taken);

/** By which page a try was decided, and what the page of now says of it. */
const pagesOf = (
  job: JobState,
  reading: Reading,
  taken: Try,
  around: Surroundings,
): Pick<RecordTry, 'verdict' | 'by-page' | 'verdict-now'> => {
  const now = verdictOf(job, reading, taken, around);
  const old = readingThen(job, reading, taken);
  if (!old) return present({ verdict: now });
  return present({
    verdict: ownVerdict(old.job, old.reading, taken),
    'by-page': present({
      revision: old.revision,
      limits: ownLimits(old.reading)?.text,
      accept: old.reading.kind === 'choice' ? old.reading.accept : undefined,
    }),
    'verdict-now': latestTry(job, reading.reading, taken) === taken ? now : undefined,
  });
};

const tryOf = (job: JobState, reading: Reading, taken: Try, around: Surroundings): RecordTry => {
  const pages = pagesOf(job, reading, taken, around);
  return presentOf<RecordTry>({
    number: taken.number,
    position: taken.position,
    n: reading.times > 1 ? taken.n : undefined,
    value: taken.value,
    calculated: calculatedRecorded(taken.calculated),
    verdict: pages.verdict,
    'by-page': pages['by-page'],
    'verdict-now': pages['verdict-now'],
    tool: taken.tool,
    uncertainty: taken.uncertainty && Object.entries(taken.uncertainty).map(([what, value]) => `${what} ${value}`),
    reason: taken.reason,
    refused: refusedOf(job, taken.entry),
    ...recordStampOf(taken),
    struck: struckOf(struckIn(job, taken.entry)),
    'set-aside': taken.superseded,
  });
};

const isFinishedIn = (job: JobState, reading: string): boolean => {
  const step = readingIn(job.plan, reading)?.step;
  return step !== undefined && stepStateOf(job, step.step).state === 'done';
};

const otherSides = (reading: Reading, around: Surroundings): RecordReading['other-sides'] =>
  around.otherSides.map((other) => ({
    side: other.side ?? '',
    job: other.id,
    values: allLatest(other, reading).map(({ position, value }) =>
      position === undefined ? value : `${position} ${value}`,
    ),
    ...present({ finished: ifSo(isFinishedIn(other, reading.reading)) }),
  }));

/** The difference between the sides at each place. */
const differenceOf = (job: JobState, reading: Reading, around: Surroundings): RecordReading['difference'] => {
  if (reading.kind !== 'quantity' || !reading.twin) return undefined;
  const spreads = slotsOf(reading).flatMap((slot) => twinNow(job, reading, slot, around)?.spread ?? []);
  return unlessEmpty(spreads.map((spread) => printQuantity(spread)));
};

/** One reading: what was asked for, within which limits, and every taking of it. */
const readingOf = (job: JobState, reading: Reading, around: Surroundings): RecordReading => {
  const quantity = reading.kind === 'quantity' ? reading : undefined;
  return presentOf<RecordReading>({
    reading: reading.reading,
    ask: reading.ask,
    unit: quantity?.unit.name ?? reading.kind,
    limits: ownLimits(reading)?.text,
    'limits-now': limitsFilled(job, reading),
    twin: quantity?.twin?.text,
    'other-sides': quantity?.twin ? otherSides(reading, around) : undefined,
    difference: differenceOf(job, reading, around),
    source: reading.source,
    'tool-kind': reading.tool,
    'tries-allowed': reading.tries,
    guarded: ifSo(quantity?.guarded === true),
    blind: ifSo(reading.blind),
    choices: reading.kind === 'choice' ? reading.choices : undefined,
    accept: reading.kind === 'choice' ? reading.accept : undefined,
    entered: triesOf(job, reading).map((taken) => tryOf(job, reading, taken, around)),
  });
};

/** What a recorded value against plain limits comes to; nothing where the limits refer to another value or cannot be decided here. */
const decidedAgain = (
  reading: RecordReading,
  { value, calculated }: RecordTry,
  { limits: text, accept }: Pick<RecordReading, 'limits' | 'accept'>,
): Verdict | undefined => {
  if (reading.unit === 'choice') return accept?.includes(value) === true ? 'within' : 'outside';
  const unit = findUnit(reading.unit);
  if (!unit || text === undefined || reading.guarded === true) return undefined;
  const limits = parseLimits(text, reading.unit === 'count' ? { bare: unit } : { unit });
  const fixed = limits.ok ? fixLimits(limits.value, () => undefined) : undefined;
  const quantity = parseQuantity(value, { unit });
  if (!fixed || !quantity.ok) return undefined;
  return calculated === undefined ? decide(quantity.value, fixed) : decideCalculated(quantity.value, fixed);
};

/** The limits of a page, or the choices that it accepts. */
const wantedText = ({ limits, accept }: Pick<RecordReading, 'limits' | 'accept'>): string =>
  limits ?? accept?.join(' or ') ?? '';

const agrees = (verdict: RecordTry['verdict'], found: Verdict): boolean =>
  verdict === found || (verdict === 'within, twin open' && found === 'within');

const recheckVerdict = (reading: RecordReading, taken: RecordTry, where: string): readonly Observation[] => {
  const { 'by-page': then, 'verdict-now': now } = taken;
  const claims: readonly (readonly [page: Pick<RecordReading, 'limits' | 'accept'>, said: RecordTry['verdict']])[] =
    then === undefined
      ? [[reading, taken.verdict]]
      : [[then, taken.verdict], ...(now === undefined ? [] : [[reading, now] as const])];
  return claims.flatMap(([page, said]) => {
    const found = decidedAgain(reading, taken, page);
    if (found === undefined) return [];
    return agrees(said, found)
      ? [passed(`${taken.value}: ${found}`, where)]
      : [foundWrong(`${taken.value} is ${found} ${wantedText(page)}, and the record says ${said ?? 'nothing'}`, where)];
  });
};

/** A calculated value, calculated again from its recorded inputs. */
const recheckCalculation = (reading: RecordReading, taken: RecordTry, where: string): readonly Observation[] => {
  const { value, calculated } = taken;
  if (calculated === undefined) return [];
  const unit = findUnit(reading.unit);
  const entered = parseQuantity(value, unit ? { unit } : {});
  const again = recalculate(calculatedAgain(calculated));
  const same =
    entered.ok &&
    again.ok &&
    entered.value.unit.dimension === again.value.quantity.unit.dimension &&
    agreesWithCalculated(entered.value, again.value.quantity);
  return same
    ? [passed(`${value}: calculated again by ${calculated.calculation}`, `${where}.calculated`)]
    : [foundWrong(`${value} is not what ${calculated.calculation} gives for its inputs`, `${where}.calculated`)];
};

const recheckReading = (reading: RecordReading, step: string): readonly Observation[] => {
  const tries = reading.entered.map(
    (taken) => [taken, `steps[${step}].readings[${reading.reading}].entered[${taken.number}]`] as const,
  );
  return [
    ...tries.flatMap(([taken, where]) => recheckVerdict(reading, taken, where)),
    ...tries.flatMap(([taken, where]) => recheckCalculation(reading, taken, where)),
  ];
};

export const recordedReading: RecordedPart<'readings', typeof readingsShape> = {
  slot: 'readings',
  shape: readingsShape,
  write: (job, step, around) => unlessEmpty(step.readings.map((reading) => readingOf(job, reading, around))),
  uses: (job, step) =>
    step.readings.flatMap((reading) =>
      triesOf(job, reading).flatMap(({ tool }) =>
        tool === undefined ? [] : [{ tool, kind: reading.tool ?? '', what: reading.reading }],
      ),
    ),
  recheck: (readings, step) => readings.flatMap((reading) => recheckReading(reading, step)),
};
