import type { FixedBound, FixedLimits } from '../quantity/limits.ts';
import { printQuantity } from '../quantity/quantity.ts';

const lowText = ({ at, included }: FixedBound): string => `${included ? 'at least' : 'more than'} ${printQuantity(at)}`;

const highText = ({ at, included }: FixedBound): string => `${included ? 'at most' : 'less than'} ${printQuantity(at)}`;

/** Limits whose values are known, in the words of the limits' own grammar. */
export const boundsText = ({ low, high }: FixedLimits): string => {
  if (low?.included === true && high?.included === true) return `${printQuantity(low.at)} to ${printQuantity(high.at)}`;
  return [low && lowText(low), high && highText(high)].filter((part) => part !== undefined).join(', ');
};
