import type { JobState } from '../job/state.ts';
import { limitsNow, ownLimits } from '../job/values.ts';
import type { Reading, Result, ResultInput } from '../procedure/model.ts';
import { limitRefs, type FixedBound, type FixedLimits } from '../quantity/limits.ts';
import { printQuantity } from '../quantity/quantity.ts';

const lowText = ({ at, included }: FixedBound): string => `${included ? 'at least' : 'more than'} ${printQuantity(at)}`;

const highText = ({ at, included }: FixedBound): string => `${included ? 'at most' : 'less than'} ${printQuantity(at)}`;

/** Limits whose values are known, in the words that a procedure would use for them. */
export const boundsText = ({ low, high }: FixedLimits): string => {
  if (low?.included === true && high?.included === true) return `${printQuantity(low.at)} to ${printQuantity(high.at)}`;
  return [low && lowText(low), high && highText(high)].filter((part) => part !== undefined).join(', ');
};

/** Limits with the values that they refer to put in; nothing where they refer to none. */
export const limitsFilled = (job: JobState, item: Reading | Result): string | undefined => {
  const limits = ownLimits(item);
  const fixed = limits && limitRefs(limits).length > 0 ? limitsNow(job, limits) : undefined;
  return fixed && boundsText(fixed);
};

/** An input of a calculation or a drag, as the procedure has it. */
export const inputText = (input: ResultInput): string =>
  input.kind === 'quantity' ? input.quantity.text : input.kind === 'id' ? input.id : input.text;
