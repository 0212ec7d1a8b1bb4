import { err, ok, type Outcome } from '../fault/fault.ts';
import { fixLimits, limitRefs, parseLimits, type FixedLimits } from '../quantity/limits.ts';
import type { Unit } from '../quantity/units.ts';
import { wrongInput } from './calculation.ts';

/** Limits given to a calculation. Their ends are quantities: an id has no meaning here. */
export const readLimits = (text: string, unit: Unit): Outcome<FixedLimits> => {
  const limits = parseLimits(text, { unit });
  if (!limits.ok) return err({ ...limits.fault, kind: 'usage', where: 'limits' });
  if (limitRefs(limits.value).length > 0)
    return err(wrongInput('limits', 'an id stands for nothing here', 'write both ends as quantities'));
  const fixed = fixLimits(limits.value, () => undefined);
  if (fixed === undefined) throw new RangeError('limits without a value');
  return ok(fixed);
};
