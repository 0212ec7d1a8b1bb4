import { err, FaultError, ok, wrong, type Outcome } from '../fault/fault.ts';

/** Any JSON value. A key that is absent stays absent: `undefined` is no JSON. */
export type Json = null | boolean | number | string | readonly Json[] | JsonObject;
export interface JsonObject {
  readonly [key: string]: Json;
}

/** Deeper nesting is refused: nothing written here comes near it, and a reader's stack must not depend on a file. */
export const maxDepth = 32;

/** Names that mean something to the language rather than to the file. No object read here may carry them. */
const prototypeKeys: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

const halfPair = /\p{Surrogate}/u;

export const isJsonObject = (value: Json): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * What keeps a value from having a canonical form, or `undefined` where nothing does.
 * @param numbers `whole` where only whole numbers, small enough to be exact, are wanted.
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

/** True where every object's keys stand in canonical order, as the language keeps them. */
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
 * The canonical form of a value in which `flawOf` has found nothing.
 * RFC 8785 3.2.2: literals, strings and numbers exactly as ECMAScript serialises them. 3.2.3: keys by their UTF-16 code
 * units, which is how JavaScript compares strings. So what is in order already, as whatever was read from a canonical
 * line is, needs one native call; objects whose keys look like numbers never are, since the language puts those first.
 */
export const canonicalOf = (value: Json): string => (isOrdered(value) ? JSON.stringify(value) : serialise(value));

/**
 * The canonical form of a value, RFC 8785 (JSON Canonicalization Scheme), for values that may come from a person or a file.
 * Refused, code `not-canonical`: NaN and the infinities, half a surrogate pair, prototype keys, nesting beyond `maxDepth`.
 */
export const canonical = (value: Json): Outcome<string> => {
  const flaw = flawOf(value);
  return flaw === undefined
    ? ok(canonicalOf(value))
    : err(wrong('not-canonical', `${flaw} cannot be written as canonical JSON`, 'Leave it out or write it as text'));
};

/** `canonical` for values that this program made or has read and checked; one without a canonical form is a bug, and throws. */
export const canonicalJson = (value: Json): string => {
  const outcome = canonical(value);
  if (!outcome.ok) throw new FaultError(outcome.fault);
  return outcome.value;
};

const malformed = (what: string): { readonly ok: false; readonly fault: ReturnType<typeof wrong> } =>
  err(wrong('not-canonical', what, 'Take the file back from another copy; nothing here is edited by hand'));

/**
 * Reads one line of canonical JSON, and proves that it is canonical: written again it gives the same text.
 * So a repeated key, a space, another order, `1.0` for `1` or `\u0041` for `A` are all refused; code `not-canonical`.
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
