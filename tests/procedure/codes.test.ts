import { describe, expect, test } from 'vitest';
import { aboutCode, codes } from '../../src/procedure/codes.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import { elsewhere, examples, unmark } from './examples.ts';

describe.each(examples)('$code', ({ code, bad, good, level = 'error' }) => {
  test('is the only code for the broken file, at its line', () => {
    const { text, lines } = unmark(bad);
    const { procedure, messages } = readProcedure(text, 'demo.yaml');
    expect(messages.map((message) => [message.code, message.level, message.line])).toEqual(
      lines.map((line) => [code, level, line]),
    );
    expect(procedure === undefined).toBe(level === 'error');
  });

  test('goes away once the file is mended', () => {
    const { procedure, messages } = readProcedure(good, 'demo.yaml');
    expect(messages).toEqual([]);
    expect(procedure).toBeDefined();
  });
});

test('every code has an example here, or a test of its own', () => {
  expect([...new Set(examples.map(({ code }) => code)), ...elsewhere].toSorted()).toEqual(
    Object.keys(codes).toSorted(),
  );
});

test('every code has its paragraph', () => {
  for (const code of Object.keys(codes)) expect(aboutCode(code)).toMatch(/^[A-Z`].{30,}\.$/s);
  expect(aboutCode('toString')).toBeUndefined();
});
