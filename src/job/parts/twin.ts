import { refusal, type Refusal } from '../../fault/fault.ts';
import type { QuantityReading, Step } from '../../procedure/model.ts';
import { stepOf } from '../../procedure/plan.ts';
import { decide } from '../../quantity/decision.ts';
import { minus, printQuantity, toBase, type Quantity } from '../../quantity/quantity.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import type { Surroundings } from '../surroundings.ts';
import { latestTry, limitsNow, quantityOf, slotsOf, type Slot } from '../values.ts';

export interface TwinNow {
  /** Every side with a value, this job's own side included. */
  readonly sides: readonly { readonly side: string; readonly value: Quantity }[];
  readonly missing: readonly string[];
  readonly spread?: Quantity;
  /** Open until the last side exists and the spread is within its limits. */
  readonly open: boolean;
  readonly outside: boolean;
}

const sideValue = (job: JobState, reading: QuantityReading, slot: Slot): Quantity | undefined => {
  const taken = latestTry(job, reading.reading, slot);
  return taken && quantityOf(reading, taken.value);
};

/** The sides of a twin reading, side by side, at one slot. */
export const twinNow = (
  job: JobState,
  reading: QuantityReading,
  slot: Slot,
  around: Surroundings,
): TwinNow | undefined => {
  if (!reading.twin) return undefined;
  const jobs = [job, ...around.otherSides];
  const sides = job.plan.each.flatMap((side) => {
    const of = jobs.find((other) => other.side === side);
    const value = of && sideValue(of, reading, slot);
    return value ? [{ side, value }] : [];
  });
  const missing = job.plan.each.filter((side) => !sides.some((one) => one.side === side));
  const sorted = sides.map((one) => one.value).toSorted((a, b) => toBase(a).compare(toBase(b)));
  const [least, most] = [sorted[0], sorted.at(-1)];
  const limits = limitsNow(job, reading.twin);
  const spread = least && most && sorted.length > 1 ? minus(most, least) : undefined;
  const outside = spread !== undefined && limits !== undefined && decide(spread, limits) === 'outside';
  return { sides, missing, open: missing.length > 0 || outside, outside, ...(spread ? { spread } : {}) };
};

/** A reading whose sides differ by more than its limits, at one slot. */
interface Apart {
  readonly reading: QuantityReading;
  readonly slot: Slot;
  readonly now: TwinNow;
}

/** The readings of a step whose sides differ too much. */
export const twinsApart = (job: JobState, step: string, around: Surroundings): readonly Apart[] =>
  (stepOf(job.plan, step)?.readings ?? []).flatMap((reading) => {
    if (reading.kind !== 'quantity' || !reading.twin) return [];
    return slotsOf(reading).flatMap((slot) => {
      const now = twinNow(job, reading, slot, around);
      return now?.outside === true ? [{ reading, slot, now }] : [];
    });
  });

/** The values of all sides and their difference: `angle: left 21.5 °, right 22.6 °; difference 1.1 °, limit at most 1 °`. */
export const twinText = ({ reading, slot, now }: Apart): string => {
  const sides = now.sides.map(({ side, value }) => `${side} ${value.text}`).join(', ');
  const difference = now.spread ? printQuantity(now.spread) : '';
  const at = slot.position === undefined ? '' : ` at ${slot.position}`;
  return `${reading.reading}${at}: ${sides}; difference ${difference}, limit ${reading.twin?.text ?? ''}`;
};

/** The sides of a twin reading must not differ by more than its limits. */
export const twinRefusals = (job: JobState, step: Step, { around }: Moment): readonly Refusal[] =>
  twinsApart(job, step.step, around).map((apart) =>
    refusal(
      'twin-open',
      twinText(apart),
      `rework one side, then enter its value again; the other side is ${around.otherSides.map(({ id }) => id).join(', ')}`,
    ),
  );
