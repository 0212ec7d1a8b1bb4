import Fraction from 'fraction.js';
import { makeQuantity, parseQuantity, type Quantity } from '../quantity/quantity.ts';
import type { Unit } from '../quantity/units.ts';
import type { Calculation } from '../trade/calculation.ts';
import { calculate } from '../trade/calculations.ts';
import type { ResultInput } from './model.ts';
import { own, put } from '../fault/own.ts';

/** A value in place of a reading that is not there yet: the calculation's own example where it is of that kind, else 1 of the unit. */
const standIn = (calculation: Calculation, name: string, unit: Unit): Quantity => {
  const example = own(calculation.example, name);
  const read = example === undefined ? undefined : parseQuantity(example, { dimension: unit.dimension });
  return read?.ok === true ? read.value : makeQuantity(new Fraction(1), unit);
};

/** A value for each input; undefined where the unit of one is not known. */
const trial = (
  calculation: Calculation,
  inputs: Readonly<Record<string, ResultInput>>,
  unitOfId: (id: string) => Unit | undefined,
): Readonly<Record<string, Quantity | string>> | undefined => {
  const given: Record<string, Quantity | string> = {};
  for (const [name, input] of Object.entries(inputs)) {
    const unit = input.kind === 'id' ? unitOfId(input.id) : undefined;
    const value =
      input.kind === 'quantity'
        ? input.quantity
        : input.kind === 'text'
          ? input.text
          : unit && standIn(calculation, name, unit);
    if (value === undefined) return undefined;
    put(given, name, value);
  }
  return given;
};

/**
 * The unit in which a calculation gives its result from these inputs. It is found by calculating once, with stand-ins for readings. Undefined
 * where that fails.
 */
export const resultUnitOf = (
  calculation: Calculation,
  inputs: Readonly<Record<string, ResultInput>>,
  unitOfId: (id: string) => Unit | undefined,
): Unit | undefined => {
  const given = trial(calculation, inputs, unitOfId);
  const done = given === undefined ? undefined : calculate(calculation.name, given);
  return done?.ok === true ? done.value.results[0]?.quantity.unit : undefined;
};
