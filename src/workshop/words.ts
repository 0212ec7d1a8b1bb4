import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import type { Data, Datum } from '../job/entry.ts';
import type { Field } from '../job/verb-spec.ts';
import { givenFields, isVerb, verbNames, verbSpec, type Verb } from '../job/verbs.ts';

/** `read R value=… [position=…]`, as the help and the messages print a verb. */
export const verbForm = (verb: Verb): string => {
  const spec = verbSpec(verb);
  const fields = spec.fields.map((field) => {
    const parted = field.kind === 'map' || field.kind === 'calculation';
    const form = parted ? `${field.name}.PART=…` : `${field.name}=…`;
    return field.required ? form : `[${form}]`;
  });
  return [verb, ...(spec.object ? [spec.object.name.toUpperCase()] : []), ...fields].join(' ');
};

export const readVerb = (word: string): Outcome<Verb> => {
  if (isVerb(word)) return ok(word);
  const guess = suggest(word, verbNames);
  const todo = guess === undefined ? `use one of: ${verbNames.join(', ')}` : `did you mean ${guess}?`;
  return err(usage('verb-unknown', `there is no verb '${word}'`, todo));
};

const split = (word: string): readonly [key: string, value: string] | undefined => {
  const at = word.indexOf('=');
  return at < 1 ? undefined : [word.slice(0, at), word.slice(at + 1)];
};

const fieldNamed = (verb: Verb, key: string): Field | undefined =>
  givenFields(verb).find((field) => field.name === key);

/** The field that a word's key names: the field of that name or, where the key has a dot, the map field before the dot. */
const fieldOf = (verb: Verb, key: string): { readonly field: Field; readonly part?: string } | undefined => {
  const whole = fieldNamed(verb, key);
  if (whole !== undefined) return { field: whole };
  const dot = key.indexOf('.');
  const field = dot < 1 ? undefined : fieldNamed(verb, key.slice(0, dot));
  const takesParts = field?.kind === 'map' || field?.kind === 'value' || field?.kind === 'calculation';
  return field !== undefined && takesParts ? { field, part: key.slice(dot + 1) } : undefined;
};

const unknownField = (verb: Verb, key: string): Fault => {
  const known = verbSpec(verb).fields.map((field) => field.name);
  const guess = suggest(key, known);
  const todo = guess === undefined ? `write: ${verbForm(verb)}` : `did you mean ${guess}=?`;
  return usage('field-unknown', `${verb} has no field '${key}'`, todo);
};

const isMap = (value: Datum | undefined): value is { readonly [key: string]: Datum } =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** The value of a field after one more word for it; `undefined` where the field takes only one. */
const joined = (
  before: Datum | undefined,
  field: Field,
  part: string | undefined,
  value: string,
): Datum | undefined => {
  if (part !== undefined) {
    const map = before ?? {};
    if (!isMap(map)) return undefined;
    if (!Object.hasOwn(map, part)) return { ...map, [part]: value };
    // What a correction puts right may be a list, such as the names in `with`.
    return field.kind === 'value' ? { ...map, [part]: [map[part] ?? [], value].flat() } : undefined;
  }
  if (field.kind === 'list' || field.kind === 'names')
    return Array.isArray(before) ? [...(before as readonly Datum[]), value] : [value];
  return before === undefined ? value : undefined;
};

/** The words after a verb on the command line, read by the table of verbs: the bare object, then `key=value`. */
export const readWords = (verb: Verb, words: readonly string[]): Outcome<Data> => {
  const spec = verbSpec(verb);
  const data: Record<string, Datum> = Object.create(null) as Record<string, Datum>;
  const isBare = (word: string): boolean => {
    const pair = split(word);
    return pair === undefined || fieldOf(verb, pair[0]) === undefined;
  };
  const [first, ...others] = words;
  const hasObject = spec.object !== undefined && first !== undefined && isBare(first);
  if (hasObject) data[spec.object.name] = first;
  for (const word of hasObject ? others : words) {
    const pair = split(word);
    if (pair === undefined)
      return err(usage('word-extra', `${verb}: the word '${word}' has no place`, `write: ${verbForm(verb)}`));
    const [key, value] = pair;
    const found = fieldOf(verb, key);
    if (found === undefined) return err(unknownField(verb, key));
    const next = joined(data[found.field.name], found.field, found.part, value);
    if (next === undefined) return err(usage('field-twice', `${verb}: ${key} stands there twice`, 'give it once'));
    data[found.field.name] = next;
  }
  return ok({ ...data });
};
