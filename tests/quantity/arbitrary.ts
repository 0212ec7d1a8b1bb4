import fc from 'fast-check';
import Fraction from 'fraction.js';
import { dimensions, unitTable } from '../../src/quantity/unit-table.ts';
import { unitNamed, type Unit } from '../../src/quantity/units.ts';

/** Every unit of the table. */
export const allUnits: readonly Unit[] = dimensions.flatMap((dimension) =>
  unitTable[dimension].map((row) => unitNamed(row.name, dimension)),
);

export const anyUnit = fc.constantFrom(...allUnits);

/** A short decimal as a person would type it, and its exact value. */
export const decimal = fc
  .record({ whole: fc.integer({ min: -99_999, max: 99_999 }), decimals: fc.integer({ min: 0, max: 4 }) })
  .map(({ whole, decimals }) => ({
    amount: new Fraction(BigInt(whole), 10n ** BigInt(decimals)),
    text: (whole / 10 ** decimals).toFixed(decimals),
  }));

/** Any rational of a size that occurs at a bench. */
export const rational = fc
  .record({ n: fc.integer({ min: -1_000_000, max: 1_000_000 }), d: fc.integer({ min: 1, max: 10_000 }) })
  .map(({ n, d }) => new Fraction(n, d));

/** Two units of one dimension. */
export const unitPair = fc.constantFrom(...dimensions).chain((dimension) => {
  const units = allUnits.filter((unit) => unit.dimension === dimension);
  return fc.tuple(fc.constantFrom(...units), fc.constantFrom(...units));
});
