import { parseDay, parseInstant } from '../quantity/time.ts';
import type { Datum } from './entry.ts';
import { gateItemKinds, type ExceptedItem, type GateItem, type GateSheet } from './gate-sheet.ts';
import type { CalculatedBy, FieldKind, Held, PlannedPage } from './verb-spec.ts';

/**
 * The longest text that a field may hold, in characters. A person types less; only a signed answer may be longer, and has a kind of its
 * own.
 */
const longest = 10_000;

const isMap = (value: Datum): value is { readonly [key: string]: Datum } =>
  value !== null && typeof value === 'object' && !Array.isArray(value);

/** A whole number from 0, also one typed as text; `undefined` for anything else. */
const asWhole = (value: Datum): number | undefined => {
  if (typeof value === 'number') return Number.isSafeInteger(value) && value >= 0 ? value : undefined;
  return typeof value === 'string' && /^\d{1,9}$/.test(value) ? Number(value) : undefined;
};

const asYes = (value: Datum): boolean | undefined => {
  if (typeof value === 'boolean') return value;
  if (value === 'true' || value === 'yes') return true;
  return value === 'false' || value === 'no' ? false : undefined;
};

const asDocument = (value: Datum): string | undefined =>
  typeof value === 'string' && value.trim() !== '' ? value : undefined;

const asText = (value: Datum): string | undefined => {
  const text = asDocument(value);
  return text !== undefined && text.length <= longest ? text : undefined;
};

const each = <T>(value: Datum, read: (item: Datum) => T | undefined): readonly T[] | undefined => {
  if (!Array.isArray(value)) return undefined;
  const items = (value as readonly Datum[]).map(read);
  return items.every((item) => item !== undefined) ? items : undefined;
};

const asList = (value: Datum): readonly string[] | undefined => {
  const texts = each(Array.isArray(value) ? value : [value], asText);
  return texts === undefined || texts.length === 0 ? undefined : texts;
};

/** Names, one by one or with commas between them. */
const asNames = (value: Datum): readonly string[] | undefined => {
  const names = asList(value)?.flatMap((text) => text.split(',').filter((name) => name.trim() !== ''));
  return names === undefined || names.length === 0 ? undefined : names;
};

const asMap = (value: Datum): Readonly<Record<string, string>> | undefined => {
  if (!isMap(value)) return undefined;
  const pairs = Object.entries(value).map(([key, item]) => [key, asText(item)] as const);
  return pairs.every((pair): pair is readonly [string, string] => pair[1] !== undefined)
    ? Object.fromEntries(pairs)
    : undefined;
};

/**
 * Reads a calculation: its name, which of its results is meant (the first where none is named), and its inputs, as a map `with` or one by
 * one as `with.NAME`, as the command line writes them.
 */
const asCalculation = (value: Datum): CalculatedBy | undefined => {
  if (!isMap(value)) return undefined;
  const { calculation = '', result, with: given = {}, ...rest } = value;
  const [name, which, inputs] = [asText(calculation), result === undefined ? '' : asText(result), asMap(given)];
  const single = asMap(Object.fromEntries(Object.entries(rest).map(([key, one]) => [key.replace(/^with\./, ''), one])));
  const isStray = Object.keys(rest).some((key) => !/^with\../.test(key));
  if (name === undefined || which === undefined || inputs === undefined || single === undefined || isStray)
    return undefined;
  return { calculation: name, ...(which === '' ? {} : { result: which }), with: { ...inputs, ...single } };
};

/** One value, or several by name. A map within the map is read as its parts, each under both names: `weights.hardener`. */
const asValue = (value: Datum): Held['value'] | undefined => {
  const text = asText(value);
  if (text !== undefined || !isMap(value)) return text;
  const flat = Object.entries(value).flatMap(([key, item]): readonly (readonly [string, Datum])[] =>
    isMap(item) ? Object.entries(item).map(([part, one]) => [`${key}.${part}`, one] as const) : [[key, item]],
  );
  const plain = (item: Datum): string | undefined =>
    typeof item === 'number' || typeof item === 'boolean' ? String(item) : asText(item);
  const pairs = flat.map(([key, item]) => [key, plain(item) ?? each(item, asText)] as const);
  return pairs.every((pair): pair is readonly [string, string | readonly string[]] => pair[1] !== undefined)
    ? Object.fromEntries(pairs)
    : undefined;
};

const isTexts = (value: Datum | undefined): value is readonly string[] =>
  Array.isArray(value) && (value as readonly Datum[]).every((item) => asText(item) !== undefined);

const asPage = (value: Datum): PlannedPage | undefined => {
  if (!isMap(value)) return undefined;
  const { procedure = '', sha256 = '', each: sides, gates, bulletin, of, ...stray } = value;
  const [id, hash] = [asText(procedure), asText(sha256)];
  if (id === undefined || hash === undefined || !isTexts(sides) || !isTexts(gates)) return undefined;
  const page = { procedure: id, sha256: hash, each: sides, gates };
  const isPlain = bulletin === undefined && of === undefined;
  const answers = isPlain ? {} : { bulletin: asText(bulletin ?? ''), of: asText(of ?? '') };
  const isRead = Object.keys(stray).length === 0 && Object.values(answers).every((text) => text !== undefined);
  return isRead ? ({ ...page, ...answers } as PlannedPage) : undefined;
};

const asItem = (value: Datum, more: readonly string[] = []): GateItem | undefined => {
  if (!isMap(value)) return undefined;
  const { kind, job, ...rest } = value;
  const named = gateItemKinds.find((one) => one === kind);
  const isNamed =
    ['what', 'key', ...more].every((key) => rest[key] !== undefined) && Object.keys(rest).length === 2 + more.length;
  const texts = asMap(job === undefined ? rest : { ...rest, job });
  return named !== undefined && isNamed && texts !== undefined ? ({ kind: named, ...texts } as GateItem) : undefined;
};

const asSheet = (value: Datum): GateSheet | undefined => {
  if (!isMap(value)) return undefined;
  const { gate = '', open = [], excepted = [], ...stray } = value;
  const named = asText(gate);
  const left = each(open, (item) => asItem(item));
  const except = each(excepted, (item) => asItem(item, ['because', 'by']));
  if (named === undefined || left === undefined || except === undefined || Object.keys(stray).length > 0)
    return undefined;
  return { gate: named, open: left, excepted: except as readonly ExceptedItem[] };
};

const asInstant = (value: Datum): string | undefined => {
  const text = asText(value);
  return text !== undefined && parseInstant(text).ok ? text : undefined;
};

const asDay = (value: Datum): string | undefined => {
  const text = asText(value);
  return text !== undefined && parseDay(text).ok ? text : undefined;
};

interface FieldReader<T> {
  /** The value that the field holds; `undefined` where it has another shape. */
  readonly read: (value: Datum) => T | undefined;
  /** What to do about a value with another shape, in the imperative. */
  readonly todo: string;
}

/** How each kind of field is read, in a journal line and in a command alike. */
export const fieldKinds: { readonly [Kind in FieldKind]: FieldReader<Held[Kind]> } = {
  text: { read: asText, todo: 'give it as text' },
  document: { read: asDocument, todo: 'give it as text' },
  quantity: { read: asText, todo: 'give a value with its unit' },
  person: { read: asText, todo: "give the person's id" },
  name: { read: asText, todo: "give a person's id or name" },
  names: { read: asNames, todo: 'give one name or several' },
  file: { read: asText, todo: "give the file's path" },
  whole: { read: asWhole, todo: 'give a whole number' },
  yes: { read: asYes, todo: 'give true or false' },
  instant: { read: asInstant, todo: 'give an instant such as 2026-03-02T09:00:00+01:00' },
  day: { read: asDay, todo: 'give a day such as 2027-01-31' },
  list: { read: asList, todo: 'give one text or several' },
  texts: { read: (value) => each(value, asText), todo: 'give a list of texts' },
  wholes: { read: (value) => each(value, asWhole), todo: 'give a list of whole numbers' },
  map: { read: asMap, todo: 'give each part with its value' },
  value: { read: asValue, todo: 'give the right value' },
  calculation: { read: asCalculation, todo: 'give calculation and with, each of its inputs' },
  sheet: { read: asSheet, todo: 'give gate, and what is open and excepted' },
  pages: { read: (value) => each(value, asPage), todo: 'give each page with procedure, sha256, each and gates' },
};
