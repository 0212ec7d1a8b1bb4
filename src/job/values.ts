import Fraction from 'fraction.js';
import { limitRefs, fixLimits, type FixedLimits, type Limits } from '../quantity/limits.ts';
import { makeQuantity, parseQuantity, type Quantity } from '../quantity/quantity.ts';
import { unitNamed } from '../quantity/units.ts';
import type { Reading, Result, ResultInput } from '../procedure/model.ts';
import { readingOf, resultOf as resultIn } from '../procedure/plan.ts';
import { calculate, calculations } from '../trade/calculations.ts';
import type { JobState, Try } from './state.ts';
import { memoised, memoisedFrozen, once } from '../fault/memo.ts';
import { own, put } from '../fault/own.ts';

/** One place in a reading for which a value is entered. */
export interface Slot {
  readonly position?: string;
  /** Which value of the position it is, from 1. */
  readonly n: number;
}

/** The unit of a reading that counts things. */
const countUnit = once(() => unitNamed('count'));

/** A whole number of up to nine digits as a count; `undefined` for any other text. */
export const countOf = (text: string): Quantity | undefined =>
  /^\d{1,9}$/.test(text.trim()) ? makeQuantity(new Fraction(text.trim()), countUnit()) : undefined;

/** Every slot of a reading: position by position, and for each position as many as `times` says. */
export const slotsOf = memoised((reading: Reading): readonly Slot[] => {
  const times = Array.from({ length: reading.times }, (_, index) => index + 1);
  return reading.positions.length === 0
    ? times.map((n) => ({ n }))
    : reading.positions.flatMap((position) => times.map((n) => ({ position, n })));
});

export const sameSlot = (one: Slot, other: Slot): boolean => one.position === other.position && one.n === other.n;

const none: readonly Try[] = [];

const current = memoisedFrozen((tries: readonly Try[]): readonly Try[] =>
  tries.filter(({ superseded }) => superseded === undefined),
);

/** The tries that count of each slot, by its position and `n`. A reading may have a dozen slots, and each is asked for over and over. */
const bySlot = memoisedFrozen((tries: readonly Try[]): ReadonlyMap<string, readonly Try[]> => {
  const slots = new Map<string, Try[]>();
  for (const taken of current(tries)) {
    const slot = slots.get(slotKey(taken));
    if (slot === undefined) slots.set(slotKey(taken), [taken]);
    else slot.push(taken);
  }
  return slots;
});

const slotKey = ({ position, n }: Slot): string => (position === undefined ? `${n}` : `${n} ${position}`);

/** The tries that still count: no rework or undo has set them aside. */
export const currentTries = (job: JobState, reading: string, slot?: Slot): readonly Try[] => {
  const tries = own(job.tries, reading);
  if (tries === undefined) return none;
  return slot === undefined ? current(tries) : (bySlot(tries).get(slotKey(slot)) ?? none);
};

/** The try that counts: the latest that no rule refused, or that a disposition has accepted. */
export const latestTry = (job: JobState, reading: string, slot: Slot): Try | undefined =>
  currentTries(job, reading, slot).findLast(({ pending }) => pending === undefined);

/** Whether a slot may be tried again: a reading may say how many tries it has. */
export const hasTryLeft = (job: JobState, { reading, tries }: Reading, slot: Slot): boolean =>
  tries === undefined || currentTries(job, reading, slot).length < tries;

/** The latest try of each slot that has one. */
export const allLatest = (job: JobState, reading: Reading): readonly Try[] =>
  slotsOf(reading)
    .map((slot) => latestTry(job, reading.reading, slot))
    .filter((taken) => taken !== undefined);

/** What was typed, as a quantity; `undefined` for a text or a choice. */
export const quantityOf = (reading: Reading, text: string): Quantity | undefined => {
  if (reading.kind === 'count') return countOf(text);
  if (reading.kind !== 'quantity') return undefined;
  const parsed = parseQuantity(text, { unit: reading.unit });
  return parsed.ok ? parsed.value : undefined;
};

/** The latest values of a reading, as quantities, in the order of its slots. */
export const valuesOf = (job: JobState, id: string): readonly Quantity[] => {
  const found = readingOf(job.plan, id);
  if (!found) return [];
  return allLatest(job, found.reading)
    .map((taken) => quantityOf(found.reading, taken.value))
    .filter((value) => value !== undefined);
};

/** A result as it is now: its value and working, or why it cannot be calculated yet. */
export interface Calculated {
  readonly quantity?: Quantity;
  readonly working?: string;
  /** Where the formula is published, and what to watch for when using it. */
  readonly source?: string;
  readonly caution?: string;
  readonly warnings: readonly string[];
  readonly why?: string;
}

/** The values of an input: one, or several where the reading has several slots. */
const inputValues = (job: JobState, input: ResultInput): readonly (Quantity | string)[] => {
  if (input.kind === 'quantity') return [input.quantity];
  if (input.kind === 'text') return [input.text];
  const values = valuesOf(job, input.id);
  const result = values.length === 0 ? resultNow(job, input.id)?.quantity : undefined;
  return result ? [result] : values;
};

const takesSeveral = (calculation: string, name: string): boolean =>
  own(calculations, calculation)?.inputs.some((spec) => spec.many === true && name.startsWith(spec.name)) === true;

/**
 * The inputs of a calculation by name. A reading with several slots gives `name-1`, `name-2` …; a single value keeps the plain name. Where
 * an input is missing, a text says why.
 */
const inputsOf = (job: JobState, result: Result): Readonly<Record<string, Quantity | string>> | string => {
  const inputs: Record<string, Quantity | string> = {};
  for (const [name, input] of Object.entries(result.from)) {
    const values = inputValues(job, input);
    if (values.length === 0) return `${name} has no value yet`;
    if (values.length > 1 && !takesSeveral(result.calculation, name))
      return `${name} takes one value, and there are ${values.length}: the procedure must say which, or take their mean`;
    values.forEach((value, index) => {
      put(inputs, values.length === 1 ? name : `${name}-${index + 1}`, value);
    });
  }
  return inputs;
};

const calculateResult = (job: JobState, result: Result): Calculated => {
  const inputs = inputsOf(job, result);
  if (typeof inputs === 'string') return { warnings: [], why: inputs };
  const done = calculate(result.calculation, inputs);
  if (!done.ok) return { warnings: [], why: done.fault.what };
  const quantity = done.value.results[0]?.quantity;
  const { source, caution } = own(calculations, result.calculation) ?? {};
  return {
    ...(quantity ? { quantity } : {}),
    ...(source === undefined ? {} : { source }),
    ...(caution === undefined ? {} : { caution }),
    working: done.value.working,
    warnings: done.value.warnings,
  };
};

/** A result of a step, calculated from the latest values. */
export const resultNow = (job: JobState, id: string): Calculated | undefined => {
  const found = resultIn(job.plan, id);
  return found ? calculateResult(job, found.result) : undefined;
};

/** The one number that an id means in limits and calculations. */
export const numberOf = (job: JobState, id: string): Quantity | undefined => {
  const values = valuesOf(job, id);
  if (values.length > 0) return values.at(-1);
  return resultNow(job, id)?.quantity;
};

/** Limits with the values of their ids filled in; `undefined` while one of these has no value. */
export const limitsNow = (job: JobState, limits: Limits): FixedLimits | undefined =>
  fixLimits(limits, (id) => numberOf(job, id));

/** Ids without a value yet on which limits depend. */
export const limitsWaitFor = (job: JobState, limits: Limits): readonly string[] =>
  limitRefs(limits).filter((id) => numberOf(job, id) === undefined);

/** The limits of a reading or result, where it has any. */
export const ownLimits = (item: Reading | Result): Limits | undefined =>
  'result' in item ? item.limits : item.kind === 'quantity' || item.kind === 'count' ? item.limits : undefined;
