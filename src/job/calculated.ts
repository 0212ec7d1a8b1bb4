import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import type { Reading } from '../procedure/model.ts';
import { agreesWithCalculated } from '../quantity/decision.ts';
import { convert, printCalculated, withArticle, type Quantity } from '../quantity/quantity.ts';
import { suggest } from '../fault/nearest.ts';
import { calculate, calculations } from '../trade/calculations.ts';
import type { CalculatedBy } from './verb-spec.ts';
import { quantityOf } from './values.ts';
import { own } from '../fault/own.ts';

export interface Recalculated {
  readonly quantity: Quantity;
  readonly working: string;
  readonly source: string;
  readonly caution: string;
  readonly warnings: readonly string[];
}

/**
 * A calculation that fails makes the entry unreadable, which is a usage fault. A refusal would be wrong, because no rule forbids anything.
 */
const asUsage = (fault: Fault): Fault => ({ ...fault, kind: 'usage' });

/**
 * The inputs in the order in which the calculation names them. A journal line sorts its keys, and the result has the unit of the first
 * input.
 */
export const orderedInputs = ({ calculation, with: inputs }: CalculatedBy): readonly (readonly [string, string])[] => {
  const specs = own(calculations, calculation)?.inputs ?? [];
  const place = (key: string): number =>
    specs.findIndex((spec) => spec.name === key || (spec.many === true && key.startsWith(spec.name)));
  return Object.entries(inputs).toSorted(([a], [b]) => place(a) - place(b) || (a < b ? -1 : 1));
};

/** Calculates the named result again, or says why it cannot be calculated. */
export const recalculate = (by: CalculatedBy): Outcome<Recalculated> => {
  const done = calculate(by.calculation, Object.fromEntries(orderedInputs(by)));
  if (!done.ok) return err(asUsage(done.fault));
  const { results, working, warnings } = done.value;
  const names = results.map(({ name }) => name);
  const found = by.result === undefined ? results[0] : results.find(({ name }) => name === by.result);
  const calculation = own(calculations, by.calculation);
  if (found && calculation)
    return ok({
      quantity: found.quantity,
      working,
      warnings,
      source: calculation.source,
      caution: calculation.caution,
    });
  const near = suggest(by.result ?? '', names);
  return err(
    usage(
      'value-unreadable',
      `${by.calculation} has no result '${by.result ?? ''}'`,
      near === undefined ? `its results are ${names.join(', ')}` : `did you mean ${near}?`,
    ),
  );
};

/**
 * A value entered as calculated must equal what the calculation gives, within the error bound of a calculated result. So nobody rounds a
 * value into its limits, or enters their own number as a calculated one.
 */
export const checkCalculated = (reading: Reading, value: string, by: CalculatedBy): Fault | undefined => {
  const wrong = (what: string, todo: string): Fault =>
    usage('calculated-differs', `${reading.reading}: ${what}`, todo, 'calculated');
  const typed = quantityOf(reading, value);
  if (typed === undefined)
    return wrong('a text or a choice is not calculated', 'leave the calculation out, or keep it as a remark');
  const done = recalculate(by);
  if (!done.ok) {
    const { what, where, ...fault } = done.fault;
    return { ...fault, what: `${reading.reading}: ${what}`, where: where ? `calculated.with.${where}` : 'calculated' };
  }
  const { quantity } = done.value;
  const [gives, wanted] = [quantity.unit.dimension, typed.unit.dimension];
  if (gives !== wanted)
    return wrong(
      `${by.calculation} gives ${withArticle(gives)}, and ${withArticle(wanted)} is asked for`,
      'take a calculation, or a result of it, that gives what is asked for',
    );
  const given = printCalculated(convert(quantity, typed.unit));
  return agreesWithCalculated(typed, quantity)
    ? undefined
    : wrong(`${by.calculation} gives ${given}, not ${value}`, `enter ${given}; or enter the value without calculated`);
};

/** How a value was calculated, in one line: `rivet-length from grip 0.125 in, diameter 1/8 in`. */
export const calculatedWords = (by: CalculatedBy): string => {
  const inputs = orderedInputs(by).map(([input, is]) => `${input} ${is}`);
  return `${by.calculation}${by.result === undefined ? '' : ` (${by.result})`} from ${inputs.join(', ')}`;
};
