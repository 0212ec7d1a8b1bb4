import type { EntryOf } from '../entry.ts';
import type { Stamp, Struck } from '../state.ts';
import type { CalculatedBy } from '../verb-spec.ts';

type Was = Pick<Stamp, 'entry' | 'at' | 'when' | 'by'> & { readonly calculated?: CalculatedBy | undefined };

/** What a correction strikes: the old value, with the time and the person of its own entry, and why it was struck. */
export const struckBy = (
  entry: EntryOf<'correct'>,
  { entry: id, at, when, by, calculated }: Was,
  value: string,
): Struck => ({
  entry: id,
  at,
  when,
  by,
  value,
  ...(calculated === undefined ? {} : { calculated }),
  reason: entry.data.reason,
  struckBy: entry.by,
  struckAt: entry.at,
});

/** `torque 30 N·m, drag 2 N·m`: what an entry of several fields said. */
export const fieldsText = (fields: Readonly<Record<string, string | undefined>>): string =>
  Object.entries(fields)
    .flatMap(([key, value]) => (value === undefined ? [] : [`${key} ${value}`]))
    .join(', ');

/** The fields that a correction names. @param bare the field that a value without a name means. */
export const fieldsNamed = (
  value: EntryOf<'correct'>['data']['value'],
  bare: string,
): Readonly<Record<string, string>> => (typeof value === 'string' ? { [bare]: value } : value);
