import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson, type Json, type JsonObject } from '../../src/proof/canonical.ts';
import {
  checkAlso,
  checkLine,
  claimsOf,
  coSigned,
  entryId,
  lineHash,
  lineText,
  maxLine,
  readLine,
  sealLine,
  signed,
  type JournalLine,
} from '../../src/proof/line.ts';
import { first, sealed, second, signRaw, unsigned } from './lines.ts';
import { codeOf, valueOf } from './outcomes.ts';

const hash = 'ab'.repeat(32);
const whatOf = (text: string): string => {
  const outcome = readLine(text);
  return outcome.ok ? 'taken' : `${outcome.fault.code}: ${outcome.fault.what}`;
};
const asJson = (value: unknown): Json => value as Json;

const full = (): JournalLine => {
  const rest = unsigned({
    build: hash,
    seq: 7,
    prev: hash,
    seen: { zzzzzzz7: hash, bbbbbbbb: hash },
    when: '2026-03-01T23:59:60Z',
    job: 'keel-scarf-bond-left-a1b2c3',
    type: 'release',
    data: { step: 'inspect', 10: 1, 9: [2, { b: null, a: true }], remark: 'squeeze-out “continuous”\u0007\n' },
  });
  return sealed({
    ...rest,
    also: [{ by: 'second', key: second.key.fingerprint, sig: signRaw(second, coSigned(rest)) }],
  });
};

describe('the texts of a line', () => {
  it('are canonical JSON of the line and of its signed parts', () => {
    for (const line of [sealed(), full()]) {
      const { sig: _sig, ...withoutSig } = line;
      const { also: _also, ...withoutBoth } = withoutSig;
      expect(lineText(line)).toBe(canonicalJson(asJson(line)));
      expect(signed(line)).toBe(canonicalJson(asJson(withoutSig)));
      expect(coSigned(line)).toBe(canonicalJson(asJson(withoutBoth)));
    }
  });

  it('read back as they were written', () => {
    for (const line of [sealed(), full()]) expect(valueOf(readLine(lineText(line)))).toEqual(line);
  });

  it('are sealed only if they read back', () => {
    const text = lineText(full());
    expect(valueOf(sealLine(text))).toEqual({ line: full(), text, hash: lineHash(text) });
    expect(codeOf(sealLine(`${text} `))).toBe('line-malformed');
    expect(codeOf(sealLine('{}'))).toBe('line-malformed');
  });

  it('read back as they were written, for any data', () => {
    const data = fc.dictionary(fc.string(), fc.oneof(fc.string({ unit: 'binary' }), fc.maxSafeInteger(), fc.boolean()));
    fc.assert(
      fc.property(data, (value) => {
        fc.pre(!JSON.stringify(value).includes('"__proto__"') && !/\\ud[89a-f]/.test(JSON.stringify(value)));
        const line = { ...sealed(), data: value as JsonObject };
        fc.pre(!('constructor' in value && Object.hasOwn(value, 'constructor')) && !Object.hasOwn(value, 'prototype'));
        expect(lineText(line)).toBe(canonicalJson(asJson(line)));
        expect(valueOf(readLine(lineText(line)))).toEqual(line);
      }),
    );
  });
});

describe('a malformed line is refused', () => {
  const change = (fields: Record<string, unknown>): string => canonicalJson(asJson({ ...sealed(), ...fields }));
  const without = (field: string): string =>
    canonicalJson(asJson(Object.fromEntries(Object.entries(sealed()).filter(([name]) => name !== field))));

  it.each(['v', 'build', 'writer', 'seq', 'prev', 'seen', 'at', 'by', 'key', 'job', 'type', 'data', 'sig'])(
    'without %s',
    (field) => expect(whatOf(without(field))).toBe(`line-malformed: no ${field}`),
  );

  it.each([
    ['v', 2, 'version 2'],
    ['v', '1', 'version "1"'],
    ['build', 'AB'.repeat(32), 'build'],
    ['writer', 'Abcdefg2', 'writer'],
    ['writer', '../../ab', 'writer'],
    ['writer', 'abcdefg1', 'writer'],
    ['seq', 0, 'seq'],
    ['seq', 1.5, 'seq'],
    ['seq', 2 ** 53, 'seq'],
    ['seq', '1', 'seq'],
    ['seq', 2, 'prev and seq'],
    ['prev', hash, 'prev and seq'],
    ['seen', { abcdefg2: hash }, 'its own writer'],
    ['seen', { other: hash }, 'seen'],
    ['seen', { bbbbbbbb: 'x' }, 'seen'],
    ['seen', [], 'seen'],
    ['at', '2026-03-02T09:00:00', 'at'],
    ['at', '2026-03-02 09:00:00Z', 'at'],
    ['at', '2026-13-02T09:00:00Z', 'at'],
    ['at', '2026-03-02T24:00:00Z', 'at'],
    ['when', '', 'when'],
    ['by', 'First', 'by'],
    ['by', '', 'by'],
    ['key', 'SHA256:abc', 'key'],
    ['job', '../x', 'job'],
    ['job', '.hidden', 'job'],
    ['job', 'a/b', 'job'],
    ['job', 'x"y', 'job'],
    ['type', 'Read', 'type'],
    ['data', [], 'data'],
    ['data', 'x', 'data'],
    ['data', { n: 0.5 }, 'the number 0.5'],
    ['data', { n: [{ m: 2 ** 53 }] }, 'the number'],
    ['sig', 'A'.repeat(88), 'sig'],
    ['sig', `${'A'.repeat(85)}B==`, 'sig'],
    ['also', [], 'also'],
    ['also', [{ by: 'second', key: second.key.fingerprint }], 'also'],
    ['also', [{ by: 'second', key: second.key.fingerprint, sig: `${'A'.repeat(86)}==`, x: 1 }], 'also'],
    ['extra', 1, 'unknown key, extra'],
  ])('%s: %j', (field, value, says) => {
    expect(whatOf(change({ [field]: value }))).toMatch(/^line-malformed: /);
    expect(whatOf(change({ [field]: value }))).toContain(says);
  });

  const taken = (fields: Record<string, unknown>): string =>
    whatOf(change({ seq: 2, prev: hash, build: hash, ...fields }));
  const letters = (count: number): string => 'a'.repeat(count);

  it.each([
    [
      'writer',
      ['abcdefg2', 'zzzzzzzz', 'a2345677'],
      ['abcdefg', 'abcdefg22', '2bcdefga', 'abcdefg0', 'abcdefg8', 'abcdefg\n'],
    ],
    ['by', ['a', '-', '007', letters(64)], [letters(65), 'a b', 'a_b', 'a\n', 'é']],
    ['job', ['', 'A', '9.x_Y-z', letters(200)], [letters(201), '_a', '-a', 'a b', 'a\n', 'a\\b', 'é']],
    ['type', ['a', 'read-log', letters(40)], ['', letters(41), '-a', 'a1', 'a_b', 'a\n', ' a']],
    ['build', [hash], ['', 'x', hash.toUpperCase(), `${hash}0`]],
    ['prev', [hash], ['x', `${hash} `, hash.slice(1)]],
    ['seq', [2, 2 ** 53 - 1], [1, -1, null, 2.5]],
    ['v', [1], [0, '1', null, true]],
    ['key', [second.key.fingerprint], ['', `${second.key.fingerprint}=`, 7]],
    ['seen', [{}, { bbbbbbbb: hash, zzzzzzz7: hash }], [{ bbbbbbbb: 7 }, { bbbbbbbb: hash, x: hash }, null, 'x']],
    ['data', [{}, { a: [{ b: null }] }], [null, 7, [1]]],
  ])('%s at the ends of what it may be', (field, good, bad) => {
    for (const value of good) expect([value, taken({ [field]: value })]).toEqual([value, 'taken']);
    for (const value of bad) expect([value, taken({ [field]: value })]).not.toEqual([value, 'taken']);
  });

  it.each([
    ['2026-01-01T00:00:00Z', true],
    ['2026-09-09T09:09:09+09:09', true],
    ['2026-10-10T10:10:10-10:10', true],
    ['2026-12-31T23:59:60+23:59', true],
    ['2026-02-29T19:19:19Z', true], // whether there is such a day is asked where instants are calculated with
    ['2026-03-30T20:29:39.1Z', true],
    ['2026-03-30T20:29:39.123456789-19:20', true],
    ['2026-00-01T00:00:00Z', false],
    ['2026-01-00T00:00:00Z', false],
    ['2026-01-32T00:00:00Z', false],
    ['2026-01-40T00:00:00Z', false],
    ['2026-20-01T00:00:00Z', false],
    ['2026-01-01T30:00:00Z', false],
    ['2026-01-01T00:60:00Z', false],
    ['2026-01-01T00:00:61Z', false],
    ['2026-01-01T00:00:00+24:00', false],
    ['2026-01-01T00:00:00+30:00', false],
    ['2026-01-01T00:00:00+00:60', false],
    ['2026-01-01T00:00:00.Z', false],
    ['2026-01-01T00:00:00.1234567890Z', false],
    ['2026-01-01T00:00:00,5Z', false],
    ['2026-01-01t00:00:00z', false],
    ['2026-01-01T00:00:00', false],
    ['26-01-01T00:00:00Z', false],
    ['12026-01-01T00:00:00Z', false],
    ['2026-1-01T00:00:00Z', false],
    ['2026-01-01T00:00:00Z ', false],
    [' 2026-01-01T00:00:00Z', false],
    ['2026-01-01T00:00:00+1:00', false],
    ['2026-01-01T00:00:00+0100', false],
  ])('an instant (RFC 3339, section 5.6): %s, %s', (text, good) => {
    expect(taken({ at: text }) === 'taken').toBe(good);
    expect(taken({ when: text }) === 'taken').toBe(good);
  });

  const other = { by: 'second', key: second.key.fingerprint, sig: `${'A'.repeat(86)}==` };
  it.each([
    ['one', [other], true],
    ['two', [other, { ...other, by: 'third' }], true],
    ['none', [], false],
    ['one and nothing', [other, null], false],
    ['one and a text', [other, 'second'], false],
    ['no list', other, false],
    ['one with a wrong key', [{ ...other, key: 'x' }], false],
    ['one with a wrong person', [{ ...other, by: 'Second' }], false],
    ['one with a wrong signature', [{ ...other, sig: 'x' }], false],
    ['one without its person', [{ key: other.key, sig: other.sig }], false],
  ])('co-signatures: %s', (_, also, good) => {
    expect(taken({ also }) === 'taken').toBe(good);
  });

  it.each(['at', 'build', 'by', 'job', 'key', 'prev', 'sig', 'type', 'when', 'writer'])(
    '%s as a list of one text, which JavaScript would read as that text',
    (field) => {
      const line = { ...sealed(), seq: 2, prev: hash, build: hash, when: sealed().at, job: 'j' };
      expect(whatOf(canonicalJson(asJson(line)))).toBe('taken');
      const listed = { ...line, [field]: [line[field as keyof typeof line]] };
      expect(whatOf(canonicalJson(asJson(listed)))).toBe(`line-malformed: ${field} is not what it must be`);
    },
  );

  it('what its writer has seen as a list of one hash', () => {
    expect(taken({ seen: { bbbbbbbb: hash } })).toBe('taken');
    expect(taken({ seen: { bbbbbbbb: [hash] } })).toBe('line-malformed: seen is not what it must be');
  });

  it('a signature with more behind its 64 bytes, though it ends like one', () => {
    const { sig } = sealed();
    for (const more of ['AAAA', '!', '===', 'A'])
      expect(taken({ sig: `${sig.slice(0, 86)}${more}==` })).toBe('line-malformed: sig is not what it must be');
  });

  it('with the fault named that it has', () => {
    expect(whatOf(change({ seq: 2, prev: hash }))).toContain('no build, though it is not the first line');
    expect(whatOf(change({ prev: hash }))).toContain('prev and seq do not fit');
    expect(taken({ prev: '' })).toContain('prev and seq do not fit');
    expect(taken({ extra: 1, another: 2 })).toContain('an unknown key, another');
    expect(taken({ seen: { abcdefg2: hash } })).toContain('seen names its own writer');
    expect(taken({ type: 'Read' })).toBe('line-malformed: type is not what it must be');
    expect(whatOf('7')).toBe('line-malformed: not an object');
    expect(whatOf('{"v":null}')).toBe('line-malformed: version null, of which this is 1');
    expect(whatOf('x')).toBe('line-malformed: not JSON');
  });

  it('longer than a megabyte, to the character', () => {
    const line = (count: number): string => lineText({ ...sealed(), data: { a: 'x'.repeat(count) } });
    const room = maxLine - line(0).length;
    expect(maxLine).toBe(1_048_576);
    expect(whatOf(line(room))).toBe('taken');
    expect(whatOf(line(room + 1))).toContain('a line of more than 1048576 characters');
  });

  it.each(['__proto__', 'constructor', 'prototype'])('with the key %s, at the top or nested', (key) => {
    const text = lineText(sealed());
    expect(whatOf(text.replace('"data":{', `"${key}":1,"data":{`))).toContain('line-malformed');
    expect(whatOf(text.replace('"data":{', `"data":{"${key}":{"by":"x"},`))).toContain(key);
  });

  it.each([
    ['nothing', ''],
    ['another kind of JSON', '[]'],
    ['not JSON', 'x'],
    ['a line feed', `${lineText(sealed())}\n`],
    ['a carriage return', `${lineText(sealed())}\r`],
    ['a space', lineText(sealed()).replace('"seq":1', '"seq": 1')],
    ['another order', lineText(sealed()).replace('"seq":1,', '').replace('{', '{"seq":1,')],
    ['a repeated key', lineText(sealed()).replace('"seq":1', '"seq":1,"seq":1')],
    ['too long', `{"data":"${'x'.repeat(maxLine)}"}`],
    ['deep', lineText(sealed()).replace('"data":{', `"data":{"a":${'['.repeat(9999)}${']'.repeat(9999)},`)],
  ])('%s', (_, text) => {
    expect(whatOf(text)).toMatch(/^line-malformed: /);
  });
});

describe('the text of a signature', () => {
  const isTaken = (sig: string): boolean => readLine(lineText({ ...sealed(), sig })).ok;

  it('is the one spelling of 64 bytes in base64, whichever character is at any place', () => {
    const bytes = fc.uint8Array({ minLength: 64, maxLength: 64 });
    const others = fc.constantFrom('A', 'B', 'Q', 'g', 'w', '+', '/', '-', '_', '=', ' ', 'é', '\u0100', '9');
    fc.assert(
      fc.property(bytes, fc.nat(87), others, (raw, at, other) => {
        const sig = Buffer.from(raw).toString('base64');
        expect(isTaken(sig)).toBe(true);
        const changed = sig.slice(0, at) + other + sig.slice(at + 1);
        const read = Buffer.from(changed, 'base64');
        expect(isTaken(changed)).toBe(read.length === 64 && read.toString('base64') === changed);
        expect(isTaken(sig.slice(0, at) + sig.slice(at + 1))).toBe(false);
      }),
      { numRuns: 500 },
    );
  });
});

describe('the signatures of a line', () => {
  const line = full();
  const [also] = line.also ?? [];

  it('verify with the keys that made them, and with no other', () => {
    expect(codeOf(checkLine(line, first.key))).toBe('taken');
    expect(codeOf(checkLine(line, second.key))).toBe('signature-false');
    expect(also === undefined ? 'none' : codeOf(checkAlso(line, also, second.key))).toBe('taken');
    expect(also === undefined ? 'none' : codeOf(checkAlso(line, also, first.key))).toBe('signature-false');
  });

  it('are refused under a line that names another key, though they fit', () => {
    const naming = unsigned({ key: second.key.fingerprint });
    const signedByFirst: JournalLine = { ...naming, sig: signRaw(first, signed(naming)) };
    expect(codeOf(checkLine(signedByFirst, first.key))).toBe('signature-false');
    const rest = unsigned({ type: 'release' });
    const falseName = { by: 'second', key: first.key.fingerprint, sig: signRaw(second, coSigned(rest)) };
    expect(codeOf(checkAlso(sealed({ ...rest, also: [falseName] }), falseName, second.key))).toBe('signature-false');
  });

  it('are refused with the entry and the person named', () => {
    const own = checkLine(line, second.key);
    const their = also === undefined ? own : checkAlso(line, also, first.key);
    expect(entryId(line)).toBe('abcdefg2:7');
    for (const [outcome, by] of [
      [own, 'first'],
      [their, 'second'],
    ] as const) {
      expect(outcome.ok ? '' : outcome.fault.where).toBe('abcdefg2:7');
      expect(outcome.ok ? '' : outcome.fault.what).toContain(`the signature of ${by} under release`);
    }
  });

  it('are claimed with the key that each names and the text that it signs, the line’s own first', () => {
    const own = { key: first.key.fingerprint, sig: line.sig, text: signed(line) };
    expect(claimsOf(line)).toEqual([own, { key: also?.key, sig: also?.sig, text: coSigned(line) }]);
    const alone = sealed();
    expect(claimsOf(alone)).toEqual([{ key: alone.key, sig: alone.sig, text: signed(alone) }]);
  });

  it('fail once any single byte of the line is changed', () => {
    const bytes = Buffer.from(lineText(line));
    let readable = 0;
    for (let at = 0; at < bytes.length; at += 1) {
      const changed = Buffer.from(bytes);
      changed[at] = (changed[at] ?? 0) ^ 0x01;
      const read = readLine(changed.toString('utf8'));
      if (!read.ok) continue;
      readable += 1;
      expect(codeOf(checkLine(read.value, first.key)), changed.toString('utf8')).toBe('signature-false');
    }
    expect(readable).toBeGreaterThan(300);
  });

  it("of a co-signer stay good when another co-signer is added, and the line's own does not", () => {
    if (also === undefined) throw new Error('no co-signature');
    const more: JournalLine = { ...line, also: [also, { ...also, by: 'third' }] };
    expect(codeOf(checkAlso(more, also, second.key))).toBe('taken');
    expect(codeOf(checkLine(more, first.key))).toBe('signature-false');
    const { also: _, ...less } = line;
    expect(codeOf(checkLine(less, first.key))).toBe('signature-false');
  });
});
