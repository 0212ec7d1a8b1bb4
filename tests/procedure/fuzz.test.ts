import fc from 'fast-check';
import { expect, test } from 'vitest';
import { isMessageCode } from '../../src/procedure/codes.ts';
import { readBytes, readProcedure, type LoadedProcedure } from '../../src/procedure/load.ts';
import { printMessage } from '../../src/procedure/message.ts';
import { planFor } from '../../src/procedure/plan.ts';
import { mutated } from './mutation.ts';

/** Set for a longer search: FUZZ=100000. */
const runs = Number(process.env.FUZZ ?? 3000);

// eslint-disable-next-line no-control-regex -- this is what must not reach a terminal
const control = /[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/;

const check = ({ procedure, messages }: LoadedProcedure, text: string): void => {
  const lines = text.split('\n');
  for (const message of messages) {
    expect(isMessageCode(message.code), message.code).toBe(true);
    expect(message.line).toBeGreaterThanOrEqual(1);
    expect(message.line).toBeLessThanOrEqual(lines.length);
    expect(message.column).toBeGreaterThanOrEqual(1);
    expect(message.column).toBeLessThanOrEqual(lines[message.line - 1]!.length + 1);
    expect(message.what).not.toBe('');
    expect(message.todo).not.toBe('');
    expect(printMessage(message)).not.toMatch(control);
  }
  const places = messages.map(({ line, column }) => line * 1e6 + column);
  expect(places).toEqual(places.toSorted((a, b) => a - b));
  expect(procedure === undefined).toBe(messages.some(({ level }) => level === 'error'));
  if (procedure !== undefined) for (const side of [undefined, ...procedure.each]) planFor(procedure, side);
};

test('any damaged file is read, or has messages at places in it', { timeout: 600_000 + runs * 20 }, () => {
  const slowest = { ms: 0, length: 0 };
  fc.assert(
    fc.property(mutated, (text) => {
      const begun = performance.now();
      const read = readProcedure(text, 'f');
      const ms = performance.now() - begun;
      if (ms > slowest.ms) Object.assign(slowest, { ms, length: text.length });
      check(read, text);
    }),
    { numRuns: runs },
  );
  if (process.env.FUZZ !== undefined)
    process.stdout.write(`${runs} mutants, the slowest ${slowest.ms.toFixed(1)} ms (${slowest.length} characters)\n`);
});

test('any bytes are read, or have messages at places in them', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
      const { messages } = readBytes(bytes, 'f');
      expect(messages.length).toBeGreaterThan(0);
      for (const { line, column } of messages) expect(Math.min(line, column)).toBeGreaterThanOrEqual(1);
    }),
    { numRuns: Math.min(runs, 2000) },
  );
});
