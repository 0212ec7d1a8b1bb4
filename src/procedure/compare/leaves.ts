import { compareQuantities } from '../../quantity/quantity.ts';
import type { ChangeKind } from './change.ts';
import { compareLimits, unitsOfLimits } from './limits.ts';
import type { Amount, Leaf, LeafValue } from './sheet.ts';

const sameAmount = (a: Amount, b: Amount): boolean => {
  if ('ms' in a || 'ms' in b) return 'ms' in a && 'ms' in b && a.ms === b.ms && a.months === b.months;
  return a.unit.dimension === b.unit.dimension && compareQuantities(a, b) === 0;
};

/** The unit of an amount: `min` of `60 min`, `mm` of `12.5 mm`. */
const unitOf = (amount: Amount): string =>
  'ms' in amount ? amount.text.replaceAll(/[\d.,\s/]+/g, ' ') : amount.unit.name;

const amountsChange = (a: readonly Amount[], b: readonly Amount[]): ChangeKind => {
  if (a.length !== b.length || a.some((amount, index) => !sameAmount(amount, b[index]!))) return 'changed';
  return a.every((amount, index) => unitOf(amount) === unitOf(b[index]!)) ? 'text' : 'same-in-other-unit';
};

type LimitsValue = Extract<LeafValue, { readonly as: 'limits' | 'condition' }>;

const limitsChange = (a: LimitsValue, b: LimitsValue): ChangeKind => {
  const change = compareLimits(a.limits, b.limits);
  if (change === 'same') return unitsOfLimits(a.limits) === unitsOfLimits(b.limits) ? 'text' : 'same-in-other-unit';
  return b.as === 'condition' ? 'changed' : change;
};

/** How a leaf differs from the old one; `undefined` where it does not. */
export const leafChange = (before: Leaf | undefined, after: Leaf | undefined): ChangeKind | undefined => {
  if (before === undefined || after === undefined) {
    const there = before ?? after;
    if (there === undefined) return undefined;
    if (there.value.as === 'limits') return before === undefined ? 'tighter' : 'looser';
    return before === undefined ? 'added' : 'removed';
  }
  const [a, b] = [before.value, after.value];
  if (before.text === after.text && a.as === b.as && a.as !== 'limits') return undefined;
  if (a.as === 'limits' && b.as === 'limits' && before.text === after.text) return sameTextChange(a, b);
  if (a.as === 'words' && b.as === 'words') return 'text';
  if (a.as === 'unit' && b.as === 'unit')
    return a.unit.dimension === b.unit.dimension ? 'same-in-other-unit' : 'changed';
  if (a.as === 'amounts' && b.as === 'amounts') return amountsChange(a.amounts, b.amounts);
  if ((a.as === 'limits' || a.as === 'condition') && a.as === b.as) return limitsChange(a, b);
  return 'changed';
};

/** The same text may be other limits, since a bare number is in the reading's unit. */
const sameTextChange = (a: LimitsValue, b: LimitsValue): ChangeKind | undefined => {
  const change = compareLimits(a.limits, b.limits);
  return change === 'same' ? undefined : change;
};
