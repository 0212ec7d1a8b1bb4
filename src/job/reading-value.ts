import { usage, type Fault } from '../fault/fault.ts';
import type { Reading } from '../procedure/model.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import { findUnit } from '../quantity/units.ts';
import { countOf } from './values.ts';

const unreadable = (what: string, todo: string): Fault => usage('value-unreadable', what, todo);

/** Checks what was typed for a reading against its kind; a fault where it cannot be read at all. */
export const valueFault = (reading: Reading, value: string): Fault | undefined => {
  if (reading.kind === 'text') return undefined;
  if (reading.kind === 'choice')
    return reading.choices.includes(value)
      ? undefined
      : unreadable(`${reading.reading}: '${value}' is none of the choices`, `one of: ${reading.choices.join(', ')}`);
  if (reading.kind === 'count')
    return countOf(value)
      ? undefined
      : unreadable(`${reading.reading}: '${value}' is not a count`, 'give a whole number');
  const parsed = parseQuantity(value, { unit: reading.unit });
  if (!parsed.ok) return { ...parsed.fault, what: `${reading.reading}: ${parsed.fault.what}` };
  return parsed.value.unit.dimension === reading.unit.dimension
    ? undefined
    : unreadable(
        `${reading.reading}: '${value}' is not a ${reading.unit.dimension}`,
        `give it in ${reading.unit.name}`,
      );
};

/** Checks what was typed for a field that has one dimension. @param unit the unit of a bare number. */
export const dimensionFault = (name: string, text: string | undefined, unit: string): Fault | undefined => {
  const named = findUnit(unit);
  if (text === undefined || !named) return undefined;
  const parsed = parseQuantity(text, { unit: named });
  if (!parsed.ok) return { ...parsed.fault, what: `${name}: ${parsed.fault.what}` };
  return parsed.value.unit.dimension === named.dimension
    ? undefined
    : unreadable(`${name}: '${text}' is not a ${named.dimension}`, `give it in ${unit}`);
};
