import type { Outcome } from '../../src/fault/fault.ts';

/** The value of an outcome. Where it is a fault, the test fails with the fault's own words. */
export const valueOf = <T>(outcome: Outcome<T>): T => {
  if (outcome.ok) return outcome.value;
  throw new Error(`${outcome.fault.code}: ${outcome.fault.what} (${outcome.fault.where ?? 'no place'})`);
};

/** The code of the fault, or `taken` where there is none. */
export const codeOf = (outcome: Outcome<unknown>): string => (outcome.ok ? 'taken' : outcome.fault.code);
