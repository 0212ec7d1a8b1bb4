import type { EntryOf } from '../entry.ts';
import type { Stamp, Struck } from '../state.ts';
import type { CalculatedBy } from '../verb-spec.ts';

type Was = Pick<Stamp, 'entry' | 'at' | 'when' | 'by'> & { readonly calculated?: CalculatedBy | undefined };

/** A value as a correction strikes it: with the time and person of its own entry, and with who struck it, when and why. */
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
  struckEntry: entry.id,
});

/** What an entry of several fields said, in one line: `torque 30 N·m, drag 2 N·m`. */
export const fieldsText = (fields: Readonly<Record<string, string | undefined>>): string =>
  Object.entries(fields)
    .flatMap(([key, value]) => (value === undefined ? [] : [`${key} ${value}`]))
    .join(', ');

/** The fields that a correction changes. @param bare the field that a value without a name means. */
export const fieldsNamed = (
  value: EntryOf<'correct'>['data']['value'],
  bare: string,
): Readonly<Record<string, string>> => (typeof value === 'string' ? { [bare]: value } : value);
