import { err, FaultError, ok, wrong, type Outcome } from '../fault/fault.ts';

/** Any JSON value. An absent key stays absent: `undefined` is not JSON. */
export type Json = null | boolean | number | string | readonly Json[] | JsonObject;
export interface JsonObject {
  readonly [key: string]: Json;
}

/** Levels of nesting. Deeper values are refused: dryfit writes none, and a file must not be able to exhaust the reader's stack. */
export const maxDepth = 32;

/** Keys with a meaning in JavaScript. Objects with these keys are refused. */
const prototypeKeys: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

const halfPair = /\p{Surrogate}/u;

export const isJsonObject = (value: Json): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * Why a value has no canonical form, or `undefined` where it has one.
 * @param numbers `whole` allows only whole numbers small enough to be exact.
 * @param depth levels of nesting above this value.
 */
export const flawOf = (value: Json, numbers: 'any' | 'whole' = 'any', depth = 0): string | undefined => {
  if (typeof value === 'string') return halfPair.test(value) ? 'text with half a surrogate pair' : undefined;
  if (typeof value === 'number') return numberFlaw(value, numbers);
  if (typeof value === 'boolean' || value === null) return undefined;
  if (typeof value !== 'object') return `a value of type ${typeof value}`;
  if (depth >= maxDepth) return `nesting deeper than ${maxDepth}`;
  if (!isJsonObject(value)) return firstFlaw(value, numbers, depth);
  for (const key in value) {
    if (prototypeKeys.has(key)) return `the key ${key}`;
    if (halfPair.test(key)) return 'a key with half a surrogate pair';
    const flaw = flawOf(value[key] as Json, numbers, depth + 1);
    if (flaw !== undefined) return flaw;
  }
  return undefined;
};

const numberFlaw = (value: number, numbers: 'any' | 'whole'): string | undefined =>
  (numbers === 'any' ? Number.isFinite(value) : Number.isSafeInteger(value)) ? undefined : `the number ${value}`;

const firstFlaw = (values: readonly Json[], numbers: 'any' | 'whole', depth: number): string | undefined => {
  for (const value of values) {
    const flaw = flawOf(value, numbers, depth + 1);
    if (flaw !== undefined) return flaw;
  }
  return undefined;
};

/** True where the keys of every object, in the order in which JavaScript keeps them, are in canonical order. */
const isOrdered = (value: Json): boolean => {
  if (typeof value !== 'object' || value === null) return true;
  if (!isJsonObject(value)) return value.every(isOrdered);
  let last: string | undefined;
  for (const key in value) {
    if (last !== undefined && !(last < key)) return false;
    if (!isOrdered(value[key] as Json)) return false;
    last = key;
  }
  return true;
};

const byCodeUnit = (a: string, b: string): number => (a < b ? -1 : 1);

const serialise = (value: Json): string => {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  if (!isJsonObject(value)) return `[${value.map(serialise).join(',')}]`;
  const members = Object.keys(value)
    .toSorted(byCodeUnit)
    .map((key) => `${JSON.stringify(key)}:${serialise(value[key] as Json)}`);
  return `{${members.join(',')}}`;
};

/**
 * The canonical form of a value in which `flawOf` found nothing.
 * RFC 8785, section 3.2.2: literals, strings and numbers are written as ECMAScript writes them. Section 3.2.3: keys are ordered
 * by their UTF-16 code units, which is how JavaScript compares strings. A value that is in order already, as everything read from
 * a canonical line is, needs only JSON.stringify. Objects with keys that look like numbers do not, because JavaScript puts such
 * keys first.
 */
export const canonicalOf = (value: Json): string => (isOrdered(value) ? JSON.stringify(value) : serialise(value));

/**
 * The canonical form of a value (RFC 8785, JSON Canonicalization Scheme), for values that come from a person or a file.
 * Refused with code `not-canonical`: NaN and the infinities, half a surrogate pair, prototype keys, nesting beyond `maxDepth`.
 */
export const canonical = (value: Json): Outcome<string> => {
  const flaw = flawOf(value);
  return flaw === undefined
    ? ok(canonicalOf(value))
    : err(wrong('not-canonical', `${flaw} cannot be written as canonical JSON`, 'Leave it out or write it as text'));
};

/** `canonical` for values that this program made, or has read and checked. A value without a canonical form is a bug, and throws. */
export const canonicalJson = (value: Json): string => {
  const outcome = canonical(value);
  if (!outcome.ok) throw new FaultError(outcome.fault);
  return outcome.value;
};

const malformed = (what: string): { readonly ok: false; readonly fault: ReturnType<typeof wrong> } =>
  err(wrong('not-canonical', what, 'Take the file back from another copy; nothing here is edited by hand'));

/** True where two values, both plain data, have the same canonical form. */
export const sameData = (one: unknown, other: unknown): boolean =>
  canonicalJson(one as Json) === canonicalJson(other as Json);

/**
 * Reads one line of canonical JSON. It is canonical if writing it again gives the same text. So a repeated key, a space, another
 * order, `1.0` for `1` or `\u0041` for `A` are all refused, with code `not-canonical`.
 */
export const parseCanonicalLine = (text: string): Outcome<Json> => {
  let value: Json;
  try {
    value = JSON.parse(text) as Json;
  } catch {
    return malformed('not JSON');
  }
  const flaw = flawOf(value);
  if (flaw !== undefined) return malformed(`holds ${flaw}`);
  return canonicalOf(value) === text ? ok(value) : malformed('JSON, but not in its canonical form (RFC 8785)');
};
