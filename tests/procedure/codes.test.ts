import { describe, expect, test } from 'vitest';
import { aboutCode, codes } from '../../src/procedure/codes.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import { elsewhere, examples, unmark } from './examples.ts';

describe.each(examples)('$code', ({ code, bad, good, level = 'error' }) => {
  test('a broken file is told by this code alone, at its line', () => {
    const { text, lines } = unmark(bad);
    const { procedure, messages } = readProcedure(text, 'demo.yaml');
    expect(messages.map((message) => [message.code, message.level, message.line])).toEqual(
      lines.map((line) => [code, level, line]),
    );
    expect(procedure === undefined).toBe(level === 'error');
  });

  test('the mended file is told nothing', () => {
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
