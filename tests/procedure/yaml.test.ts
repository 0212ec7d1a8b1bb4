import { describe, expect, test } from 'vitest';
import { printMessage } from '../../src/procedure/message.ts';
import { nodeAt, placeAt, toPlain } from '../../src/procedure/tree.ts';
import { readYaml, readYamlBytes } from '../../src/procedure/yaml.ts';
import { compose, mostPieces } from '../../src/procedure/yaml/compose.ts';
import { largestFile } from '../../src/procedure/yaml/bytes.ts';

const told = (text: string): string[] =>
  readYaml(text, 'f').messages.map(({ line, column, code }) => `${line}:${column} ${code}`);

const plain = (text: string): unknown => {
  const { tree, messages } = readYaml(text, 'f');
  expect(messages).toEqual([]);
  return tree && toPlain(tree);
};

describe('a scalar is its source text', () => {
  test.each([
    ['section: 5.10', '5.10'],
    ['lot: 0417', '0417'],
    ['number: 0x1F', '0x1F'],
    ['yes: no', 'no'],
    ['nothing: null', 'null'],
    ['tilde: ~', '~'],
    ['day: 2026-03-01', '2026-03-01'],
    ['time: 12:30', '12:30'],
    ["quoted: '1.0'", '1.0'],
    ['folded: >-\n  one\n  two', 'one two'],
    ['lines: |\n  one\n  two\n', 'one\ntwo'],
  ])('%s', (text, value) => {
    expect(Object.values(plain(text) as object)).toEqual([value]);
  });
});

describe('every node has its place', () => {
  const text = 'a: b\nlist:\n  - { c: d }\n  - [e, f]\n';
  const tree = readYaml(text, 'f').tree!;

  test.each([
    [['a'], 1, 4],
    [['list', 0, 'c'], 3, 10],
    [['list', 1, 1], 4, 9],
    [['list', 0, 'missing'], 3, 5],
    [[], 1, 1],
  ])('%j', (path, line, column) => {
    expect(placeAt(tree, path)).toEqual({ line, column });
  });

  test('a path to nothing leads to no node', () => {
    expect(nodeAt(tree, ['a', 'b'])).toBeUndefined();
    expect(nodeAt(tree, ['list', 7])).toBeUndefined();
  });
});

describe('comments', () => {
  test.each([
    'a: b # with a space\n',
    'a: b   # far\n',
    'a: b ## twice\n',
    'a: b #\n',
    'a: |\n  b #10\n',
    "a: 'b #10'\n",
    'a: b#10\n',
    'a: b\n#commented: out\nc: d\n',
    'a:\n  - b\n  #- c\nd: e\n',
    'a: [b, # one\n  c]\n',
  ])('%j cuts no text', (text) => {
    expect(told(text)).toEqual([]);
  });

  test.each([
    ['a: b #10', ['1:6 text-cut']],
    ['a: #10', ['1:4 text-cut']],
    ['a: b\n  #10 goes\n', ['2:3 text-cut']],
    ['a: b\r\n  #10 goes\r\n', ['2:3 text-cut']],
    ['- b #10', ['1:5 text-cut']],
    ['a: [b #10, c]', ['1:7 text-cut']],
    ['a: { b: c #10, d: e }\nf: g', ['1:11 text-cut']],
    ["a: 'b' #10", ['1:8 text-cut']],
  ])('%j', (text, messages) => {
    expect(told(text)).toEqual(messages);
  });
});

describe('commas', () => {
  test.each([
    ['a: { b: c, d, e: f }', ['1:12 text-split']],
    ['a: { b: at most 0,2 mm, e: f }', ['1:19 text-split']],
    ['a: { b }', ['1:6 empty-value']],
    ['a: { b: }', ['1:6 empty-value']],
    ['a: [look, and see]', ['1:11 list-split']],
    ['a: [look, And see]', []],
    ['a: [and so on, b]', []],
    ['a: [look, android]', []],
  ])('%j', (text, messages) => {
    expect(told(text)).toEqual(messages);
  });

  test('half a text is not kept as a value', () => {
    expect(toPlain(readYaml('a: { b: c, d, e: f }', 'f').tree!)).toEqual({ a: { b: undefined, e: 'f' } });
  });
});

describe('one fault has one message', () => {
  test.each([
    ['a:\n\tb: c\n', ['2:1 tab']],
    ['a: b\tc\nd: e\tf\n', ['1:5 tab']],
    ['%FOO\na: b\n', ['1:1 directive']],
    ['a: !important\n', ['1:4 tag']],
    ['a: *\n', ['1:4 alias']],
    ['a: &x *x\n', ['1:4 anchor', '1:7 alias']],
    ['a: "b\nc: d\n', ['1:4 not-yaml']],
    ['a: b\n  c: d\n', ['2:3 not-yaml']],
    ['a: b: c: d\n', ['1:4 not-yaml']],
    ['a: [b\nc: d\n', ['2:1 not-yaml']],
    ['a: b\nc\n', ['2:1 not-yaml']],
    ['a: @b\n', ['1:4 not-yaml']],
    ['a: b\n---\nc: d\n---\ne: f\n', ['2:1 several-documents']],
    ['a: b\n...\nc: d\n', ['3:1 several-documents']],
    ['a: b\u001bc\u0007\n', ['1:5 control-character']],
    ['a: b\rc: d\n', ['1:5 control-character']],
    ['a: "\\u202e"\n', ['1:4 control-character']],
    ['a: b\0\n', ['1:5 control-character']],
    ['__proto__: x\na: b\n', ['1:1 key-unreadable']],
    [': b\n', ['1:1 key-unreadable']],
    ['', ['1:1 empty-file']],
    ['# only this\n\n---\n', ['1:1 empty-file']],
  ])('%j', (text, messages) => {
    expect(told(text)).toEqual(messages);
  });

  test('independent faults have their messages together, in order', () => {
    expect(told('a: &x b\na: c\nd:\ne: f #g\nh: { i: j, k }\n')).toEqual([
      '1:4 anchor',
      '2:1 duplicate-key',
      '3:1 empty-value',
      '4:6 text-cut',
      '5:12 text-split',
    ]);
  });
});

describe('hostile files', () => {
  test.each([
    ['brackets', 'a: '.concat('['.repeat(100_000))],
    ['closed brackets', 'a: '.concat('['.repeat(1000), ']'.repeat(1000))],
    ['braces', '{a: '.repeat(50_000)],
    ['dashes', '- '.repeat(50_000)],
    ['question marks', '? '.repeat(50_000)],
    ['indentation', Array.from({ length: 500 }, (_, depth) => `${' '.repeat(depth)}a:`).join('\n')],
  ])('%s too deep', (_, text) => {
    expect(readYaml(text, 'f').messages.map(({ code }) => code)).toEqual(['too-deep']);
  });

  const steps = Array.from({ length: 20_000 }, (_, n) => `  - step: s${n}\n    title: T\n`).join('');
  test.each([
    ['quotes', '"'.repeat(1_000_000), '1:239999'],
    ['a list that never ends', '['.concat('"",'.repeat(300_000)), '1:179999'],
    ['more steps than are read', `procedure: a\nsteps:\n${steps}`, '13335:1'],
    ['lines in a text', `a: |\n${' x\n'.repeat(300_000)}`, '2:1'],
    ['empty lines before comments', `- a: b\n${'\n'.repeat(2000)}${'  #\n'.repeat(10_000)}`, '1001:1'],
    ['empty lines of spaces', `a: b\n${'  \n'.repeat(2000)}`, '1001:3'],
  ])('%s: too large, at the place where reading stopped', (_, text, place) => {
    expect(told(text)).toEqual([`${place} too-large`]);
  });

  test('what stops before the bounds is read', () => {
    expect(told(`a: |\n${' x\n'.repeat(100_000)}`)).toEqual([]);
    expect(told(`a: b\n${'\n'.repeat(999)}c: d\n`)).toEqual([]);
    expect(told(`a: |\n  x\n${'\n'.repeat(5000)}  y\n`)).toEqual([]);
  });

  test('the package gets no more pieces than the bound, and of its errors the first is kept', () => {
    for (const text of ['{'.concat('"",'.repeat(300_000)), '[]'.repeat(9000)]) {
      expect(compose(text).pieces).toBeLessThanOrEqual(mostPieces);
    }
    expect(compose('[]'.repeat(9000)).document?.errors).toEqual([]);
    expect(compose('[]'.repeat(9000)).error).toMatchObject({ offset: 2 });
  });

  test('a line of nothing else gets one message for its characters', () => {
    expect(told(`a: b\n${'\0'.repeat(100_000)}\n${'\t'.repeat(100_000)}\n`)).toEqual([
      '2:1 control-character',
      '3:1 tab',
    ]);
  });

  test('aliases are never expanded', () => {
    const bomb = `a: &a [x, x]\n${Array.from({ length: 20 }, (_, n) => `b${n}: &b${n} [*a, *a]`).join('\n')}\n`;
    const { messages } = readYaml(bomb, 'f');
    expect(new Set(messages.map(({ code }) => code))).toEqual(new Set(['anchor', 'alias']));
  });

  test('no message brings a control character to the terminal', () => {
    const { messages } = readYaml('a: !\u001b[2J b\n"\u001b]0;x\u0007": c\n"\\e": d\n', '\u001bfile');
    expect(messages.length).toBeGreaterThan(0);
    // eslint-disable-next-line no-control-regex -- this is what must not be there
    for (const message of messages) expect(printMessage(message)).not.toMatch(/[\u0000-\u001f\u007f-\u009f]/);
  });
});

describe('bytes', () => {
  const codesOf = (bytes: Uint8Array): string[] =>
    readYamlBytes(bytes, 'f').messages.map(({ line, column, code }) => `${line}:${column} ${code}`);
  const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

  test('UTF-8, with either end of line', () => {
    expect(codesOf(utf8('a: b ± 1 °C\n'))).toEqual([]);
    expect(readYamlBytes(utf8('a: b\r\nc: d\r\n'), 'f').messages).toEqual([]);
  });

  test.each([
    ['UTF-16 with a mark', [0xff, 0xfe, 0x61, 0x00], '1:1 not-utf8'],
    ['UTF-16, the other end first', [0xfe, 0xff, 0x00, 0x61], '1:1 not-utf8'],
    ['UTF-16 without a mark', [0x61, 0x00, 0x3a, 0x00], '1:1 not-utf8'],
    ['a byte that begins nothing', [0x61, 0x0a, 0x62, 0xff], '2:2 not-utf8'],
    ['a character that is cut off', [0x61, 0x0a, 0xc3], '2:1 not-utf8'],
    ['an overlong slash', [0xc0, 0xaf], '1:1 not-utf8'],
    ['half a surrogate pair', [0xed, 0xa0, 0x80], '1:1 not-utf8'],
    ['a mark', [0xef, 0xbb, 0xbf, 0x61, 0x3a, 0x20, 0x62], '1:1 byte-order-mark'],
    ['nothing', [], '1:1 empty-file'],
  ])('%s', (_, bytes, message) => {
    expect(codesOf(Uint8Array.from(bytes))).toEqual([message]);
  });

  test('a file of 20 MB is refused unread', () => {
    expect(codesOf(new Uint8Array(20 * 1024 * 1024))).toEqual(['1:1 too-large']);
    expect(told('#'.repeat(largestFile + 1))).toEqual(['1:1 too-large']);
  });
});
