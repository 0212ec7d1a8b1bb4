import { flawOf, isJsonObject, type Json, type JsonObject } from './canonical.ts';
import { isHash } from './hash.ts';
import { isFingerprint } from './keys.ts';

/** A writer has eight characters, the first a letter. The alphabet leaves out 0, 1, 8 and 9, which are easily misread as letters. */
const writerForm = /^[a-z][a-z2-7]{7}$/;
export const isWriter = (text: string): boolean => writerForm.test(text);

const personForm = /^[a-z0-9-]{1,64}$/;
export const isPerson = (text: string): boolean => personForm.test(text);

/** A job's id, which also names a folder: no separator and no leading dot. */
const jobForm = /^[A-Za-z0-9][A-Za-z0-9._-]{0,199}$/;
export const isJob = (text: string): boolean => jobForm.test(text);

const typeForm = /^[a-z][a-z-]{0,39}$/;
const base64 = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
/** For each character code: 1 where it is in the base64 alphabet, 2 where its last four bits are zero too. */
const inBase64 = Uint8Array.from({ length: 128 }, (_, code) => {
  const value = base64.indexOf(String.fromCodePoint(code));
  return value === -1 ? 0 : value % 16 === 0 ? 2 : 1;
});

/**
 * True for 64 bytes in base64, in their one spelling. Every line has such a signature, and a loop takes half the time of a
 * regular expression.
 */
const isSignature = (text: string): boolean => {
  if (text.length !== 88 || !text.endsWith('==') || inBase64[text.charCodeAt(85)] !== 2) return false;
  for (let at = 0; at < 85; at += 1) if ((inBase64[text.charCodeAt(at)] ?? 0) === 0) return false;
  return true;
};
// RFC 3339, section 5.6, with a numeric offset or Z. Whether such a day exists is checked where instants are calculated with.
const instantForm =
  /^\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])T(?:[01]\d|2[0-3]):[0-5]\d:(?:[0-5]\d|60)(?:\.\d{1,9})?(?:Z|[+-](?:[01]\d|2[0-3]):[0-5]\d)$/;

type Rule = (value: Json) => boolean;
const text =
  (form: (value: string) => boolean): Rule =>
  (value) =>
    typeof value === 'string' && form(value);
const matches = (form: RegExp): Rule => text((value) => form.test(value));
const orEmpty = (form: (value: string) => boolean): Rule => text((value) => value === '' || form(value));

const isSeen: Rule = (value) =>
  isJsonObject(value) &&
  Object.entries(value).every(([writer, hash]) => isWriter(writer) && typeof hash === 'string' && isHash(hash));

const coSignature: Readonly<Record<string, Rule>> = {
  by: text(isPerson),
  key: text(isFingerprint),
  sig: text(isSignature),
};

const isAlso: Rule = (value) =>
  Array.isArray(value) &&
  value.length > 0 &&
  value.every((item: Json) => isJsonObject(item) && fieldFlaw(item, coSignature, noneOptional) === undefined);

const fields: Readonly<Record<string, Rule>> = {
  also: isAlso,
  at: matches(instantForm),
  build: orEmpty(isHash),
  by: text(isPerson),
  data: isJsonObject,
  job: orEmpty(isJob),
  key: text(isFingerprint),
  prev: orEmpty(isHash),
  seen: isSeen,
  seq: (value) => typeof value === 'number' && Number.isSafeInteger(value) && value >= 1,
  sig: text(isSignature),
  type: matches(typeForm),
  v: (value) => value === 1,
  when: matches(instantForm),
  writer: text(isWriter),
};
const fieldNames = Object.keys(fields);
const noneOptional: ReadonlySet<string> = new Set();
const optional: ReadonlySet<string> = new Set(['also', 'when']);

/**
 * Values that earlier lines have shown to be well formed; `prev` is the hash of the last of them. Half of a line repeats them,
 * and is not checked again.
 */
export type Proved = Record<'build' | 'by' | 'job' | 'key' | 'prev' | 'type' | 'writer', string>;

const nothingProved: Readonly<Record<string, Json>> = {};

const fieldFlaw = (
  object: JsonObject,
  rules: Readonly<Record<string, Rule>>,
  mayLack: ReadonlySet<string>,
  names: readonly string[] = Object.keys(rules),
  proved: Readonly<Record<string, Json>> = nothingProved,
): string | undefined => {
  let found = 0;
  for (const name of names) {
    const value = object[name];
    if (value === undefined) {
      if (!mayLack.has(name)) return `no ${name}`;
      continue;
    }
    found += 1;
    if (value !== proved[name] && rules[name]?.(value) !== true) return `${name} is not what it must be`;
  }
  if (Object.keys(object).length === found) return undefined;
  return `an unknown key, ${Object.keys(object).find((key) => !Object.hasOwn(rules, key)) ?? ''}`;
};

/** What is wrong inside the fields, or between them. */
const jointFlaw = (line: JsonObject): string | undefined => {
  if ((line['prev'] === '') !== (line['seq'] === 1)) return 'prev and seq do not fit: only the first line has no prev';
  if (line['build'] === '' && line['seq'] !== 1) return 'no build, though it is not the first line';
  const flaw = flawOf(line['data'] as Json, 'whole');
  if (flaw !== undefined) return `data holds ${flaw}`;
  if (Object.hasOwn(line['seen'] as JsonObject, line['writer'] as string)) return 'seen names its own writer';
  return undefined;
};

/** Why a JSON value is not a journal line, or `undefined` where it is one. */
export const shapeFlaw = (value: Json, proved?: Readonly<Proved>): string | undefined => {
  if (!isJsonObject(value)) return 'not an object';
  if (value['v'] !== undefined && value['v'] !== 1) return `version ${JSON.stringify(value['v'])}, of which this is 1`;
  return fieldFlaw(value, fields, optional, fieldNames, proved) ?? jointFlaw(value);
};
