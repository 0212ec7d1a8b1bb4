import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import type { EntryOf } from '../entry.ts';
import { readField } from '../parse.ts';
import type { Field } from '../verb-spec.ts';
import { givenFields, type Verb } from '../verbs.ts';

/*
 * Reads what a correction says of an entry: which of its fields, and what each should have been.
 */

/** The time at which an entry happened is corrected like a field, whatever the verb. */
export const timeField = 'when';

/** Takes an optional field away. */
const noValue = 'none';

type Fields = Readonly<Record<string, unknown>>;
type Value = EntryOf<'correct'>['data']['value'];

/** Which fields of a verb's entries may be corrected. */
interface Open {
  readonly fields: readonly string[];
  /** What to do about the other fields. */
  readonly otherwise?: string;
  /** The field that a bare value means. */
  readonly bare?: (was: Fields) => string | undefined;
}

export interface Corrected {
  readonly now: Fields;
  readonly when?: string;
  /** What was changed, in one line: as it was, and as it is. */
  readonly old: string;
  readonly right: string;
}

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** A value as a person reads it: `none`, `yes`, `Bo, Lars`. */
export const saidText = (value: unknown): string => {
  if (value === undefined) return 'none';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return Array.isArray(value) ? value.map(String).join(', ') : String(value as string | number);
};

/** One changed thing: a field, or a part of a map. */
interface Change {
  readonly label: string;
  readonly was: unknown;
  readonly is: unknown;
}

/** Fields that are all that an entry says, and need no name. */
const plain: readonly string[] = ['value', 'text'];

const line = (changes: readonly Change[], side: 'was' | 'is'): string =>
  changes
    .map((one) => (plain.includes(one.label) ? saidText(one[side]) : `${one.label} ${saidText(one[side])}`))
    .join(', ');

/** A field of the verb that may be corrected, named whole or by a part of it: `weights.hardener`, or `hardener` alone. */
const fieldNamed = (verb: Verb, row: Open, name: string): { field: Field; part?: string } | undefined => {
  const open = givenFields(verb).filter((field) => row.fields.includes(field.name));
  const whole = open.find((field) => field.name === name);
  if (whole) return { field: whole };
  const dot = name.indexOf('.');
  const field = open.find((one) => one.kind === 'map' && (dot < 0 || one.name === name.slice(0, dot)));
  return field && { field, part: name.slice(dot + 1) };
};

const namesOf = (verb: Verb, row: Open): string =>
  [
    ...givenFields(verb).flatMap(({ name, kind }) => {
      if (!row.fields.includes(name)) return [];
      return [kind === 'map' ? `value.${name}.PART` : `value.${name}`];
    }),
    `value.${timeField}`,
  ].join(', ');

/** The values by their names: a bare value means the one field of the entry that has a value of its own. */
const namedIn = (verb: Verb, row: Open, was: Fields, value: Value): Outcome<Fields> => {
  if (typeof value !== 'string') return ok(value);
  const bare = row.bare?.(was);
  return bare === undefined
    ? err(usage('field-missing', `${verb}: say which of its fields is wrong`, `give one of: ${namesOf(verb, row)}`))
    : ok({ [bare]: value });
};

/** What an entry says after a correction. Faults (usage): a field that the verb has not or that is not corrected, an unreadable value. */
export const corrected = (
  verb: Verb,
  row: Open,
  was: Fields,
  value: Value,
  hashes: Readonly<Record<string, string>> = {},
): Outcome<Corrected> => {
  const named = namedIn(verb, row, was, value);
  if (!named.ok) return named;
  const now: Record<string, unknown> = { ...was };
  const changes: Change[] = [];
  let when: string | undefined;
  for (const [name, raw] of Object.entries(named.value)) {
    if (name === timeField) {
      when = saidText(raw);
      continue;
    }
    const found = fieldNamed(verb, row, name);
    if (!found)
      return err(
        usage(
          'value-unreadable',
          `'${name}' of ${verb} cannot be corrected`,
          `${row.otherwise === undefined ? '' : `${row.otherwise}; `}one of: ${namesOf(verb, row)}`,
        ),
      );
    const { field, part } = found;
    const held = now[field.name];
    if (part !== undefined) {
      const map = isFields(held) ? held : {};
      const text = saidText(raw);
      changes.push({ label: part, was: map[part], is: text });
      now[field.name] = { ...map, [part]: text };
      continue;
    }
    if (!field.required && raw === noValue) {
      changes.push({ label: name, was: held, is: undefined });
      delete now[name];
      delete now[`${name}-sha256`];
      continue;
    }
    const read = readField(verb, field, raw as Value);
    if (!read.ok) return read;
    const [hash, old] = [hashes[name], was[`${name}-sha256`]];
    changes.push({ label: name, was: held, is: read.value });
    if (hash !== undefined) changes.push({ label: 'sha256', was: old, is: hash });
    now[name] = read.value;
    if (hash !== undefined) now[`${name}-sha256`] = hash;
  }
  return ok({
    now,
    ...(when === undefined ? {} : { when }),
    old: line(changes, 'was'),
    right: line(changes, 'is'),
  });
};
