import type { Limits } from '../../quantity/limits.ts';

/** The unit in which limits are written, for a number that is typed without one; `fallback` where they name none. */
export const limitsUnit = (limits: Limits | undefined, fallback: string): string => {
  const bound = limits?.low ?? limits?.high;
  if (!bound) return fallback;
  return 'unit' in bound.base ? bound.base.unit.name : (bound.offset?.unit.name ?? fallback);
};
