import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  canonical,
  canonicalJson,
  flawOf,
  maxDepth,
  parseCanonicalLine,
  sameData,
  type Json,
} from '../../src/proof/canonical.ts';
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

/** Outside in order, inside not; the text on the right is worked out by hand from RFC 8785, section 3.2.3. */
const nestedOrders: readonly (readonly [input: string, output: string])[] = [
  ['{"a":{"c":1,"b":2}}', '{"a":{"b":2,"c":1}}'],
  ['{"a":1,"b":{"d":{"f":1,"e":2}}}', '{"a":1,"b":{"d":{"e":2,"f":1}}}'],
  ['[{"b":1,"a":2}]', '[{"a":2,"b":1}]'],
  ['[[[{"b":1,"a":2}]]]', '[[[{"a":2,"b":1}]]]'],
  ['{"a":[1,{"z":0,"y":[{"x":0,"w":0}]}]}', '{"a":[1,{"y":[{"w":0,"x":0}],"z":0}]}'],
  ['{"a":{"b":1},"c":{"e":1,"d":1}}', '{"a":{"b":1},"c":{"d":1,"e":1}}'],
  ['{"b":{"a":1},"a":{"b":1}}', '{"a":{"b":1},"b":{"a":1}}'],
  ['{"a":{"10":1,"9":2}}', '{"a":{"10":1,"9":2}}'],
  [
    '{"a":{"\u20ac":1,"\r":2,"\ufb33":3,"1":4,"\ud83d\ude00":5,"\u0080":6,"\u00f6":7}}',
    '{"a":{"\\r":2,"1":4,"\u0080":6,"\u00f6":7,"\u20ac":1,"\ud83d\ude00":5,"\ufb33":3}}',
  ],
  ['{"a":{"aa":1,"a":2,"":3,"B":4}}', '{"a":{"":3,"B":4,"a":2,"aa":1}}'],
];

describe('keys are in order at every depth', () => {
  it.each(nestedOrders)('%s', (input, output) => {
    const text = input.replaceAll('\r', '\\r');
    expect(canonicalJson(JSON.parse(text) as Json)).toBe(output);
    expect(parseCanonicalLine(output).ok).toBe(true);
    if (text !== output) expect(reasonOf(text)).toBe('not-canonical: JSON, but not in its canonical form (RFC 8785)');
  });
});

describe('what has no canonical form', () => {
  const objects = (depth: number): Json => (depth === 0 ? 1 : { a: objects(depth - 1) });
  const lists = (depth: number): Json => (depth === 0 ? 1 : [lists(depth - 1)]);

  it('is deeper than the limit, in objects as in lists', () => {
    for (const nest of [objects, lists]) {
      expect(flawOf(nest(maxDepth))).toBeUndefined();
      expect(flawOf(nest(maxDepth + 1))).toBe('nesting deeper than 32');
    }
    expect(maxDepth).toBe(32);
  });

  it.each([
    [undefined, 'a value of type undefined'],
    [[undefined], 'a value of type undefined'],
    [{ a: undefined }, 'a value of type undefined'],
    [{ a: () => 1 }, 'a value of type function'],
    [[1n], 'a value of type bigint'],
    [{ a: [{ b: Number.NaN }] }, 'the number NaN'],
    [[[Number.NEGATIVE_INFINITY]], 'the number -Infinity'],
    [{ a: ['\ud800'] }, 'text with half a surrogate pair'],
    [[{ '\udc00': 1 }], 'a key with half a surrogate pair'],
  ] as const)('is found at any depth: %#, $1', (value, flaw) => {
    expect(flawOf(value as Json)).toBe(flaw);
    expect(canonical(value as Json).ok).toBe(false);
  });

  it('is a list with a gap, which would be written as nothing between two commas', () => {
    const list: Json[] = [1];
    list[2] = 3;
    expect(flawOf({ a: list })).toBe('a value of type undefined');
  });

  it('is a fraction, or a number too large to be exact, where only whole ones are allowed', () => {
    for (const number of [0, -1, Number.MAX_SAFE_INTEGER, Number.MIN_SAFE_INTEGER])
      expect(flawOf({ a: [number] }, 'whole')).toBeUndefined();
    for (const number of [0.5, 2 ** 53, 1e300]) {
      expect(flawOf({ a: [number] }, 'whole')).toBe(`the number ${number}`);
      expect(flawOf({ a: [number] })).toBeUndefined();
    }
  });
});

describe('the same data', () => {
  it('is the same whatever the order of its keys, and nothing else is', () => {
    expect(sameData({ a: 1, b: { c: [1, 2], d: null } }, { b: { d: null, c: [1, 2] }, a: 1 })).toBe(true);
    expect(sameData([1, 2], [2, 1])).toBe(false);
    expect(sameData({ a: 1 }, { a: '1' })).toBe(false);
    expect(sameData({ a: { b: 1 } }, { a: { b: 2 } })).toBe(false);
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

/** The same value with the keys of every object set in the opposite order. */
const turnedOver = (value: Json): Json => {
  if (Array.isArray(value)) return value.map((item: Json) => turnedOver(item));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .toReversed()
      .map(([key, item]) => [key, turnedOver(item as Json)]),
  );
};

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

  it('the order in which keys were set makes no difference, at any depth', () => {
    const { tree } = fc.letrec<{ tree: Json }>((tie) => ({
      tree: fc.oneof(
        { depthSize: 'small' },
        fc.constantFrom<Json>(0, true, null, 'x'),
        fc.dictionary(fc.string({ maxLength: 3 }), tie('tree'), { minKeys: 2, maxKeys: 5 }),
        fc.array(tie('tree'), { maxLength: 3 }),
      ),
    }));
    fc.assert(
      fc.property(tree, (value) => {
        fc.pre(isTame(value));
        expect(canonicalJson(turnedOver(value))).toBe(canonicalJson(value));
      }),
      { numRuns: 1000 },
    );
  });

  it('any text of Unicode may be a key', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string({ unit: 'binary' }), fc.integer()), (members) => {
        fc.pre(isTame(members));
        expect(canonicalJson(turnedOver(members))).toBe(canonicalJson(members));
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
