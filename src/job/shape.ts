import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { parseDay, parseInstant } from '../quantity/time.ts';
import type { Data, Datum } from './entry.ts';
import type { Field } from './verb-spec.ts';
import { clockDoubt, verbSpec, type Verb } from './verbs.ts';

const longest = 10_000;

const unreadable = (verb: Verb, field: Field, todo: string): Fault =>
  usage('value-unreadable', `${verb}: ${field.name} cannot be read`, todo);

const asWhole = (value: Datum): number | undefined => {
  if (typeof value === 'number') return Number.isSafeInteger(value) && value >= 0 ? value : undefined;
  return typeof value === 'string' && /^\d{1,9}$/.test(value) ? Number(value) : undefined;
};

const asYes = (value: Datum): boolean | undefined => {
  if (typeof value === 'boolean') return value;
  if (value === 'true' || value === 'yes') return true;
  return value === 'false' || value === 'no' ? false : undefined;
};

const asText = (value: Datum): string | undefined =>
  typeof value === 'string' && value.trim() !== '' && value.length <= longest ? value : undefined;

const asList = (value: Datum): readonly string[] | undefined => {
  const list = Array.isArray(value) ? value : [value];
  const texts = list.map(asText);
  return texts.every((text) => text !== undefined) && texts.length > 0 ? texts : undefined;
};

const asMap = (value: Datum): Readonly<Record<string, string>> | undefined => {
  if (value === null || typeof value !== 'object' || Array.isArray(value)) return undefined;
  const pairs = Object.entries(value).map(([key, item]) => [key, asText(item)] as const);
  return pairs.every((pair): pair is readonly [string, string] => pair[1] !== undefined)
    ? Object.fromEntries(pairs)
    : undefined;
};

/**
 * A calculation by its name, which of its results is meant where it is not the first, and what went in: `with` as a map, or its
 * inputs one by one as `with.NAME`, as the command line writes them.
 */
const asCalculation = (value: Datum): Datum | undefined => {
  if (value === null || typeof value !== 'object' || Array.isArray(value)) return undefined;
  const { calculation, result, with: given, ...rest } = value as { readonly [key: string]: Datum };
  const name = asText(calculation ?? '');
  const inputs = asMap({
    ...(given === undefined ? {} : asMap(given)),
    ...Object.fromEntries(Object.entries(rest).map(([key, one]) => [key.replace(/^with\./, ''), one])),
  });
  const stray = Object.keys(rest).some((key) => !/^with\../.test(key));
  const unread = given !== undefined && asMap(given) === undefined;
  if (name === undefined || inputs === undefined || stray || unread) return undefined;
  if (result !== undefined && asText(result) === undefined) return undefined;
  return { calculation: name, ...(result === undefined ? {} : { result }), with: inputs };
};

const asInstant = (value: Datum): string | undefined => {
  const text = asText(value);
  return text !== undefined && parseInstant(text).ok ? text : undefined;
};

const asDay = (value: Datum): string | undefined => {
  const text = asText(value);
  return text !== undefined && parseDay(text).ok ? text : undefined;
};

const readers: Readonly<
  Record<Field['kind'], { readonly read: (value: Datum) => Datum | undefined; readonly todo: string }>
> = {
  text: { read: asText, todo: 'give it as text' },
  quantity: { read: asText, todo: 'give a value with its unit' },
  person: { read: asText, todo: "give the person's id" },
  file: { read: asText, todo: "give the file's path" },
  whole: { read: asWhole, todo: 'give a whole number' },
  yes: { read: asYes, todo: 'give true or false' },
  instant: { read: asInstant, todo: 'give an instant such as 2026-03-02T09:00:00+01:00' },
  day: { read: asDay, todo: 'give a day such as 2027-01-31' },
  list: { read: asList, todo: 'give one text or several' },
  map: { read: asMap, todo: 'give each part with its value' },
  value: { read: (value) => asText(value) ?? asMap(value), todo: 'give the right value' },
  calculation: { read: asCalculation, todo: 'give calculation and with, each of its inputs' },
};

const readField = (verb: Verb, field: Field, value: Datum): Outcome<Datum> => {
  const read = readers[field.kind].read(value);
  if (read === undefined) return err(unreadable(verb, field, readers[field.kind].todo));
  if (field.choices && !(typeof read === 'string' && field.choices.includes(read)))
    return err(unreadable(verb, field, `give one of: ${field.choices.join(', ')}`));
  return ok(read);
};

/**
 * What was typed for a verb, in the shapes of the verbs' table: whole numbers, yes or no, lists and maps.
 * Faults (usage, exit 2): `field-missing`, `field-unknown`, `value-unreadable`.
 */
export const shapeData = (verb: Verb, raw: Data): Outcome<Data> => {
  const spec = verbSpec(verb);
  const fields = spec.object ? [spec.object, ...spec.fields] : spec.fields;
  const kept = [...(spec.brought ?? []), ...(spec.derived ?? []), clockDoubt];
  const known = [...fields.map((field) => field.name), ...kept];
  const shaped: Record<string, Datum> = {};
  for (const key of Object.keys(raw)) {
    if (known.includes(key)) continue;
    const near = suggest(key, known);
    return err(
      usage(
        'field-unknown',
        `${verb} has no field '${key}'`,
        near ? `did you mean '${near}'?` : `it takes: ${known.filter((one) => one !== clockDoubt).join(', ')}`,
      ),
    );
  }
  for (const field of fields) {
    const value = raw[field.name];
    if (value === undefined || value === null) {
      if (field.required)
        return err(usage('field-missing', `${verb}: ${field.name} is missing`, `give ${field.name}: ${field.about}`));
      continue;
    }
    const read = readField(verb, field, value);
    if (!read.ok) return read;
    shaped[field.name] = read.value;
  }
  for (const key of kept) {
    const value = raw[key];
    if (value !== undefined) shaped[key] = value;
  }
  return ok(shaped);
};

/** An entry's data without what the engine added: what a person and the workshop gave, to be decided again. */
export const givenData = (verb: Verb, data: Data): Data => {
  const derived = verbSpec(verb).derived ?? [];
  return Object.fromEntries(Object.entries(data).filter(([key]) => !derived.includes(key)));
};
