import { twinNow } from '../../job/parts/twin.ts';
import { limitsNow, slotsOf, type Slot } from '../../job/values.ts';
import type { QuantityReading, Step } from '../../procedure/model.ts';
import { decide } from '../../quantity/decision.ts';
import { shownLimits } from '../../quantity/shown-limits.ts';
import { minus, printQuantity, toBase, type Quantity } from '../../quantity/quantity.ts';
import { twinRows, type TwinSide } from '../drawing/twins.ts';
import { mark, span, type Row } from '../drawing/rows.ts';
import type { JobNow } from '../job-now.ts';
import { slotLabel } from '../../job/labels.ts';
import type { Sized } from '../view/page.ts';

/** `differ by 1.6 °, allowed at most 1 °`, and whether that is too much. */
const differenceOf = (
  { job }: JobNow,
  reading: QuantityReading,
  values: readonly Quantity[],
): { readonly words: string; readonly isOutside: boolean } => {
  const limits = reading.twin && limitsNow(job, reading.twin);
  const allowed = limits ? `allowed ${shownLimits(limits).text}` : '';
  const sorted = values.toSorted((one, other) => toBase(one).compare(toBase(other)));
  const [least, most] = [sorted[0], sorted.at(-1)];
  if (!least || !most || sorted.length < 2) return { words: allowed, isOutside: false };
  const spread = minus(most, least);
  return {
    words: `differ by ${printQuantity(spread)}, ${allowed}`,
    isOutside: limits !== undefined && decide(spread, limits) === 'outside',
  };
};

/**
 * The sides of one value of a twin reading, drawn side by side with their difference; nothing while no other side has it. `typed` is what is
 * being entered on this side.
 */
export const twinOf = (
  here: JobNow,
  reading: QuantityReading,
  slot: Slot,
  { marks, width }: Sized,
  typed?: Quantity,
): readonly Row[] => {
  const { job, around } = here;
  const twin = twinNow(job, reading, slot, around);
  if (!twin?.sides.some(({ side }) => side !== job.side)) return [];
  const valueAt = (side: string): Quantity | undefined =>
    (side === job.side ? typed : undefined) ?? twin.sides.find((one) => one.side === side)?.value;
  const values = job.plan.each.flatMap((side) => valueAt(side) ?? []);
  const sides = job.plan.each.map((side): TwinSide => {
    const value = valueAt(side);
    return value ? { side, text: printQuantity(value), at: toBase(value).valueOf() } : { side };
  });
  const limit = reading.twin && limitsNow(job, reading.twin)?.high?.at;
  const { words, isOutside } = differenceOf(here, reading, values);
  const sign = values.length < 2 ? '' : isOutside ? `${marks.not} ` : `${marks.within} `;
  return [
    ...twinRows(sides, limit && toBase(limit).valueOf(), isOutside, marks, width),
    [mark(sign, isOutside ? 'outside' : 'order'), span(words, isOutside ? 'outside' : 'quiet')],
  ];
};

/** The twin readings of a step, each value with its sides. @param only those that differ too much. */
export const twinsOf = (here: JobNow, step: Step, sized: Sized, only: 'all' | 'outside' = 'all'): readonly Row[] =>
  step.readings.flatMap((reading) => {
    if (reading.kind !== 'quantity' || !reading.twin) return [];
    return slotsOf(reading)
      .filter((slot) => only === 'all' || twinNow(here.job, reading, slot, here.around)?.outside === true)
      .flatMap((slot) => {
        const rows = twinOf(here, reading, slot, sized);
        return rows.length === 0 ? [] : [[span(slotLabel(reading, slot), 'strong')] as Row, ...rows];
      });
  });
