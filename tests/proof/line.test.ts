import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson, type Json, type JsonObject } from '../../src/proof/canonical.ts';
import {
  checkAlso,
  checkLine,
  coSigned,
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
