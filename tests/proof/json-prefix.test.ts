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

  // Cut after each character of a text, with every kind of value, escape and bracket; whole only at its end.
  it.each([
    '{"a":true,"b":false,"c":null}',
    '{"a":[[],{},[{"b":[1,2]}]]}',
    '{"a":-0.5e+10,"b":12}',
    '{"\\u00e9\\"\\\\":"\\n\\u0041\\/"}',
    '{ "a" : [ 1 , 2 ] , "b" : { } }',
    '{"}":"{","]":"["}',
  ])('is recognised after each character of %s', (text) => {
    for (let length = 1; length < text.length; length += 1)
      expect([text.slice(0, length), isCutObject(text.slice(0, length))]).toEqual([text.slice(0, length), true]);
    expect(isCutObject(text)).toBe(false);
  });

  it.each(['{"a":tru e', '{"a":nulll', '{"a":"x"y', '{"a":[1}', '{"a":{"b":1]', '{"a"::', '{,', '{"a":1}}', '{"a":-}'])(
    '%j is damage: nothing completes it',
    (text) => expect(isCutObject(text)).toBe(false),
  );

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
