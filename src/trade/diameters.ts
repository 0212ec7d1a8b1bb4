import Fraction from 'fraction.js';
import { err, ok, type Outcome } from '../fault/fault.ts';
import { printQuantity, scale, type Quantity } from '../quantity/quantity.ts';
import { exactly, firstNotPositive, type CalculationAnswer, type InputSpec } from './calculation.ts';

export const diameterInput: InputSpec = {
  name: 'diameter',
  dimension: 'length',
  required: true,
  about: 'diameter of the rivet’s shank',
};

/** Multiples of the diameter, in tenths, as named results. */
export const multiples = (diameter: Quantity, tenths: Readonly<Record<string, number>>): Outcome<CalculationAnswer> => {
  const fault = firstNotPositive({ diameter });
  if (fault !== undefined) return err(fault);
  const results = Object.entries(tenths).map(([name, by]) => {
    const q = scale(diameter, new Fraction(by, 10));
    return exactly(name, q.amount, q.unit);
  });
  const working = results.map(
    ({ name, quantity }) =>
      `${name} ${(tenths[name] ?? 0) / 10} × ${printQuantity(diameter)} = ${printQuantity(quantity)}`,
  );
  return ok({ results, working: working.join('; ') });
};
