import { describe, expect, it } from 'vitest';
import { maxRecord, readRecord } from '../../src/record/read.ts';
import { recordText } from '../../src/record/record.ts';
import { recordFrom, wholeJob } from './fixture.ts';

const document = recordFrom(wholeJob());
const text = recordText(document);

const deep = `{"record":"dryfit","v":1,"steps":${'['.repeat(40)}${']'.repeat(40)}}`;

const changed = (from: string | RegExp, to: string): string => {
  const after = text.replace(from, to);
  expect(after).not.toBe(text);
  return after;
};

describe('the bytes of a record', () => {
  it('are read back as the document that they were written from', () => {
    expect(readRecord(Buffer.from(text))).toEqual({ ok: true, value: document });
  });

  it.each<[string, () => Uint8Array | string, string, RegExp]>([
    ['nothing', () => '', 'record-json', /not a JSON object/],
    ['a list', () => '[]', 'record-json', /not a JSON object/],
    ['a half', () => text.slice(0, text.length / 2), 'record-json', /not a JSON object/],
    ['bytes that are not UTF-8', () => Buffer.from([0x7b, 0xff, 0x7d]), 'record-encoding', /not UTF-8/],
    ['a byte order mark', () => `\ufeff${text}`, 'record-json', /not a JSON object/],
    ['nesting without end', () => deep, 'record-json', /nesting deeper/],
    ['a prototype key', () => '{"record":"dryfit","v":1,"__proto__":{}}', 'record-json', /the key __proto__/],
    ['half a surrogate pair', () => '{"record":"\\ud800","v":1}', 'record-json', /half a surrogate/],
    ['another thing', () => '{"record":"other","v":1}', 'record-shape', /not a record of dryfit/],
    ['a later version', () => changed('"v": 1', '"v": 2'), 'record-version', /version 2; this program reads 1/],
    ['an unknown key', () => changed('"signer"', '"colour": "red",\n  "signer"'), 'record-shape', /unknown key colour/],
    ['a missing key', () => changed(/ {2}"signer": "ines",\n/, ''), 'record-shape', /not in the form/],
    [
      'a number where a text belongs',
      () => changed('"signer": "ines"', '"signer": 7'),
      'record-shape',
      /not in the form/,
    ],
    [
      'a signer that is no id',
      () => changed('"signer": "ines"', '"signer": "a; b"'),
      'record-shape',
      /not in the form/,
    ],
    [
      'a repeated key',
      () => changed('"signer": "ines"', '"signer": "marit",\n  "signer": "ines"'),
      'record-form',
      /repeated key/,
    ],
    ['other spaces', () => JSON.stringify(document), 'record-form', /not as it was written/],
    ['another spelling', () => changed('Ines Varrow', 'Ine\\u0073 Varrow'), 'record-form', /not as it was written/],
    ['too much of it', () => new Uint8Array(maxRecord + 1), 'record-long', /longer than/],
  ])('%s: refused by name', (_name, bytes, code, what) => {
    const given = bytes();
    const read = readRecord(typeof given === 'string' ? Buffer.from(given) : given);
    expect(read).toMatchObject({ ok: false, fault: { kind: 'wrong', code } });
    if (!read.ok) expect(read.fault.what).toMatch(what);
  });

  it('names the place inside the record', () => {
    const read = readRecord(Buffer.from(changed('"value": "22.1 mm"', '"value": 22.1')));
    expect(read).toMatchObject({ ok: false, fault: { where: 'record.json steps[0].readings[0].entered[0].value' } });
  });
});
