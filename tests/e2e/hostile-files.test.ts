import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

/** Files made by malice or by accident. The built program reads each with little memory. */
const program = join(import.meta.dirname, '../../dist/dryfit.js');
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dryfit-hostile-'));
  chmodSync(folder, 0o755);
});
afterAll(() => {
  chmodSync(join(folder, 'shut'), 0o700);
  rmSync(folder, { recursive: true });
});

/** Megabytes of heap that the program may use. */
const heap = 96;
const check = (
  path: string,
  as: { readonly uid?: number; readonly gid?: number } = {},
): { readonly code: number | null; readonly lines: readonly string[] } => {
  const ran = spawnSync(process.execPath, [`--max-old-space-size=${heap}`, program, 'check', path], {
    cwd: folder,
    encoding: 'utf8',
    timeout: 90_000,
    env: { ...process.env, HOME: folder, XDG_CONFIG_HOME: folder },
    ...as,
  });
  expect(ran.signal).toBeNull();
  expect(ran.stderr).not.toMatch(/\n {4}at |bug:/);
  return { code: ran.status, lines: ran.stderr.trimEnd().split('\n') };
};

const sound = 'procedure: a\ntitle: A\nrevision: A\nsteps:\n  - { step: one, title: One }\n';
const bomb = `a: &a [x, x, x, x, x, x, x, x, x]\n${Array.from({ length: 8 }, (_, index) => {
  const [here, last] = [String.fromCodePoint(98 + index), String.fromCodePoint(97 + index)];
  return `${here}: &${here} [${`*${last}, `.repeat(8)}*${last}]`;
}).join('\n')}\n`;

const files: Readonly<Record<string, readonly [content: string | Buffer, told: RegExp]>> = {
  'alias bomb': [bomb, /:1:4: error anchor: /],
  'nesting of 1000 lists': [`a: ${'['.repeat(1000)}${']'.repeat(1000)}\n`, /:1:\d+: error too-deep: /],
  'nesting of 1000 keys': [
    Array.from({ length: 1000 }, (_, depth) => `${' '.repeat(depth)}a:`).join('\n'),
    /:\d+:\d+: error too-deep: /,
  ],
  'duplicate keys': [sound.replace('revision', 'title: B\nrevision'), /:3:1: error duplicate-key: .*line 2/],
  tabs: [sound.replace('  - ', '\t- '), /:5:1: error tab: /],
  'a byte order mark': [`\ufeff${sound}`, /:1:1: error byte-order-mark: /],
  'UTF-16': [Buffer.from(sound, 'utf16le'), /:1:1: error not-utf8: .*UTF-16/],
  'UTF-16 with its mark': [Buffer.from(`\ufeff${sound}`, 'utf16le'), /:1:1: error not-utf8: .*UTF-16/],
  NUL: [sound.replace('title: A', 'title: A\0'), /:2:9: error control-character: /],
  'half a character': [Buffer.from([...Buffer.from('title: '), 0xe2, 0x82]), /:1:8: error not-utf8: /],
  'a million quotes': ['"'.repeat(1_000_000), /:1:\d+: error too-large: .*120,000 pieces.*; split it/],
  'half a million lists': ['[]'.repeat(500_000), /:1:\d+: error too-large: /],
  'a list without end': [`[${'"",'.repeat(300_000)}`, /:1:\d+: error too-large: /],
  '100 MB': [Buffer.alloc(100 * 1024 * 1024, 'a'), /:1:1: error too-large: .*100\.0 MB/],
};

describe.each(Object.entries(files))('%s', (name, [content, told]) => {
  test('gets one clear line, and exit code 1', () => {
    const file = `${name.replaceAll(' ', '-')}.yaml`;
    writeFileSync(join(folder, file), content);
    const { code, lines } = check(file);
    expect(code).toBe(1);
    // The bomb gets a message for each of its anchors and aliases, in their order.
    expect(name === 'alias bomb' ? lines : [lines.join('\n')]).toContainEqual(expect.stringMatching(told));
    if (name !== 'alias bomb') expect(lines).toHaveLength(1);
    for (const line of lines) expect(line).toMatch(/:\d+:\d+: error [a-z0-9-]+: .+; .+/);
  });
});

test('lines that end in CR LF are accepted', () => {
  writeFileSync(join(folder, 'crlf.yaml'), sound.replaceAll('\n', '\r\n'));
  expect(check('crlf.yaml')).toEqual({ code: 0, lines: [''] });
});

test('a link to itself gets one clear line, named by itself or found in a folder', () => {
  symlinkSync('loop.yaml', join(folder, 'loop.yaml'));
  expect(check('loop.yaml')).toMatchObject({
    code: 1,
    lines: [expect.stringMatching(/^loop\.yaml:1:1: error unreadable: /)],
  });
  mkdirSync(join(folder, 'some'));
  symlinkSync('loop.yaml', join(folder, 'some/loop.yaml'));
  writeFileSync(join(folder, 'some/a.yaml'), sound);
  expect(check('some')).toMatchObject({
    code: 1,
    lines: [expect.stringMatching(/^some\/loop\.yaml:1:1: error unreadable: /)],
  });
});

test('a folder that links to itself is not searched', () => {
  mkdirSync(join(folder, 'round'));
  symlinkSync('.', join(folder, 'round/again.yaml'));
  writeFileSync(join(folder, 'round/a.yaml'), sound);
  expect(check('round')).toEqual({ code: 0, lines: [''] });
});

test('a folder and a file without read permission each get one clear line', () => {
  // Nothing is closed to root, so the program runs as nobody then.
  const nobody = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};
  mkdirSync(join(folder, 'shut'));
  writeFileSync(join(folder, 'shut/a.yaml'), sound);
  expect(check('shut', nobody)).toEqual({ code: 0, lines: [''] });
  chmodSync(join(folder, 'shut/a.yaml'), 0o000);
  expect(check('shut', nobody)).toMatchObject({
    code: 1,
    lines: [expect.stringMatching(/^shut\/a\.yaml:1:1: error unreadable: .*\(EACCES\); /)],
  });
  chmodSync(join(folder, 'shut'), 0o000);
  expect(check('shut', nobody)).toMatchObject({
    code: 1,
    lines: [expect.stringMatching(/^shut:1:1: error unreadable: /)],
  });
});
