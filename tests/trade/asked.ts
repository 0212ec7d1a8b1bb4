import { calculate, type CalculationResult } from '../../src/trade/calculations.ts';
import type { Inputs } from '../../src/trade/inputs.ts';

/** What a calculation gives; a fault is thrown. */
export const done = (name: string, inputs: Inputs): CalculationResult => {
  const outcome = calculate(name, inputs);
  if (!outcome.ok) throw new Error(outcome.fault.what);
  return outcome.value;
};

/** Its results by name, as text. */
export const shown = (name: string, inputs: Inputs): readonly string[] =>
  done(name, inputs).results.map((result) => `${result.name} ${result.quantity.text}`);

/** The main result as a number, in its own unit. */
export const main = (name: string, inputs: Inputs): number =>
  done(name, inputs).results[0]?.quantity.amount.valueOf() ?? Number.NaN;

/** Why it gives nothing: kind, code and input; else `taken`. */
export const fault = (name: string, inputs: Inputs): string => {
  const outcome = calculate(name, inputs);
  return outcome.ok
    ? 'taken'
    : `${outcome.fault.kind} ${outcome.fault.code}${outcome.fault.where === undefined ? '' : ` ${outcome.fault.where}`}`;
};
