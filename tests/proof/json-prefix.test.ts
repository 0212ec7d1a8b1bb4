import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isCutObject } from '../../src/proof/json-prefix.ts';
import { lineText } from '../../src/proof/line.ts';
import { sealed } from './lines.ts';

const object = fc.dictionary(fc.string({ unit: 'binary' }), fc.jsonValue({ maxDepth: 3 }));

describe('a line that was cut off', () => {
  it('is recognised at every length', () => {
    const text = lineText(sealed({ data: { 'a"\\': ['\u0001', -1, true, null, { b: false }], n: 10, text: '°\\' } }));
    for (let length = 1; length < text.length; length += 1)
      expect(isCutObject(text.slice(0, length)), text.slice(0, length)).toBe(true);
    expect(isCutObject(text)).toBe(false);
    expect(isCutObject('')).toBe(false);
  });

  it('is recognised for any object, at any length, with or without spaces', () => {
    fc.assert(
      fc.property(object, fc.nat(), fc.constantFrom(0, 1), (value, at, spaces) => {
        const text = JSON.stringify(value, undefined, spaces);
        expect(isCutObject(text.slice(0, 1 + (at % (text.length - 1))))).toBe(true);
        expect(isCutObject(text)).toBe(false);
      }),
    );
  });

  it.each([
    '{"a":1]',
    '{"a":1,,',
    '{]',
    '{"a" 1',
    '{a',
    '{"a":01',
    '{"a":tx',
    '{"a":"\u0001',
    '[1',
    'x',
    '{}{',
    '{"a":"\\x',
    '{"a":\u0000',
  ])('%j is none', (text) => expect(isCutObject(text)).toBe(false));
});
