import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonical, canonicalJson, maxDepth, parseCanonicalLine, type Json } from '../../src/proof/canonical.ts';
import { documents, numbers, refusedNumbers, valuesHex, weirdOrder } from '../vectors/rfc8785/vectors.ts';

const fromBits = (hex: string): number => Buffer.from(hex, 'hex').readDoubleBE();
const isRefused = (text: string): boolean => !parseCanonicalLine(text).ok;
const reasonOf = (text: string): string => {
  const outcome = parseCanonicalLine(text);
  return outcome.ok ? 'taken' : `${outcome.fault.code}: ${outcome.fault.what}`;
};

describe('RFC 8785', () => {
  it.each(documents)('$name', ({ input, output }) => {
    expect(canonicalJson(JSON.parse(input) as Json)).toBe(output);
  });

  it('gives the published bytes', () => {
    const values = documents.find(({ name }) => name === 'values')?.input ?? '';
    expect(Buffer.from(canonicalJson(JSON.parse(values) as Json)).toString('hex')).toBe(valuesHex);
  });

  it('orders keys by their UTF-16 code units', () => {
    const shuffled = Object.fromEntries(weirdOrder.toReversed().map((key) => [key, 1]));
    const keys = [...canonicalJson(shuffled).matchAll(/("(?:[^"\\]|\\.)*"):/g)].map(([, key]) => JSON.parse(key ?? ''));
    expect(keys).toEqual(weirdOrder);
  });

  it.each(numbers)('Appendix B: %s is %s', (bits, text) => {
    expect(canonicalJson(fromBits(bits))).toBe(text);
  });

  it.each(refusedNumbers)('Appendix B: %s is refused', (bits) => {
    expect(canonical([fromBits(bits)])).toMatchObject({ ok: false, fault: { code: 'not-canonical' } });
    expect(() => canonicalJson(fromBits(bits))).toThrow('cannot be written');
  });

  it.each(['\ud800', 'a\udc00', '\udc00\ud800'])('half a surrogate pair is refused, as text and as key', (text) => {
    expect(canonical(text).ok).toBe(false);
    expect(canonical({ [text]: 1 }).ok).toBe(false);
  });
});

describe('a line that claims to be canonical', () => {
  it.each([
    ['{"a":1,"a":1}', 'repeated key'],
    ['{"a":1,"a":2}', 'repeated key'],
    ['{"b":1,"a":2}', 'order'],
    ['{"10":1,"9":2} ', 'trailing space'],
    ['{"9":1,"10":2}', 'number-like keys in the order of numbers'],
    ['{"a": 1}', 'space'],
    ['{"a":1.0}', 'number'],
    ['{"a":1e0}', 'number'],
    ['{"a":-0}', 'number'],
    ['{"a":9007199254740993}', 'number beyond its precision'],
    ['{"a":"\\u0041"}', 'escape'],
    ['{"a":"\\/"}', 'escape'],
    ['{"a":"\\u000A"}', 'escape'],
    ['{"a":"\\u001F"}', 'escape in capitals'],
    ['{"a":"\\ud800"}', 'half a surrogate pair'],
    ['\ufeff{}', 'byte order mark'],
    ['{}\n', 'line feed'],
    ['', 'nothing'],
    ['{', 'cut'],
    ['{"a":NaN}', 'NaN'],
    ["{'a':1}", 'quotes'],
  ])('%j is refused: %s', (text) => {
    expect(reasonOf(text)).toMatch(/^not-canonical: /);
  });

  it.each(['__proto__', 'constructor', 'prototype'])('the key %s is refused at any depth', (key) => {
    expect(reasonOf(`{"${key}":{}}`)).toContain(key);
    expect(reasonOf(`{"a":[{"${key}":1}]}`)).toContain(key);
    expect(canonical(JSON.parse(`{"${key}":1}`) as Json).ok).toBe(false);
  });

  it('accepts keys that look like numbers in the order of their text', () => {
    expect(parseCanonicalLine('{"1":1,"10":2,"9":3,"a":4}').ok).toBe(true);
  });

  it('refuses nesting of any depth without running out of stack', () => {
    const nested = (depth: number): string => '['.repeat(depth) + ']'.repeat(depth);
    expect(parseCanonicalLine(nested(maxDepth)).ok).toBe(true);
    expect(reasonOf(nested(maxDepth + 1))).toContain('nesting');
    expect(reasonOf('{"a":'.repeat(200_000))).toContain('not JSON');
    expect(isRefused(nested(400_000))).toBe(true);
  });
});

const json = fc.jsonValue({ maxDepth: 4 }) as fc.Arbitrary<Json>;
const isTame = (value: Json): boolean => canonical(value).ok;

describe('laws', () => {
  it('a value that was written reads back as the same value, and is canonical', () => {
    fc.assert(
      fc.property(json, (value) => {
        fc.pre(isTame(value));
        const outcome = parseCanonicalLine(canonicalJson(value));
        expect(outcome).toEqual({ ok: true, value: JSON.parse(JSON.stringify(value)) as Json });
      }),
    );
  });

  it('the order in which keys were set makes no difference', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string({ unit: 'binary' }), fc.integer()), (members) => {
        const turned = Object.fromEntries(Object.entries(members).toReversed());
        fc.pre(isTame(members));
        expect(canonicalJson(turned)).toBe(canonicalJson(members));
      }),
    );
  });

  it('no single changed character leaves a text canonical with the same value', () => {
    fc.assert(
      fc.property(json, fc.nat(), fc.string({ minLength: 1, maxLength: 1 }), (value, at, other) => {
        fc.pre(isTame(value));
        const text = canonicalJson(value);
        const changed = text.slice(0, at % text.length) + other + text.slice((at % text.length) + 1);
        fc.pre(changed !== text);
        const outcome = parseCanonicalLine(changed);
        if (outcome.ok) expect(canonicalJson(outcome.value)).toBe(changed);
      }),
    );
  });
});
