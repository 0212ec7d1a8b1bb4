import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parsePastTime } from '../../src/quantity/past-time.ts';
import { parseInstant, printInstant } from '../../src/quantity/time.ts';

const now = Date.parse('2026-03-02T09:30:00+01:00');
const at = (text: string): string | undefined => {
  const read = parsePastTime(text, now, 60);
  return read.ok ? read.value : undefined;
};

test('a time of day is today, or yesterday where it has not come yet', () => {
  expect(at('09:10')).toBe('2026-03-02T09:10:00+01:00');
  expect(at('9:10')).toBe('2026-03-02T09:10:00+01:00');
  expect(at('09:31')).toBe('2026-03-02T09:31:00+01:00');
  expect(at('20:58')).toBe('2026-03-01T20:58:00+01:00');
  expect(at('yesterday 20:58')).toBe('2026-03-01T20:58:00+01:00');
  expect(at('yesterday 07:00')).toBe('2026-03-01T07:00:00+01:00');
});

test('so long ago, a date with a time, and RFC 3339', () => {
  expect(at('40 min ago')).toBe('2026-03-02T08:50:00+01:00');
  expect(at('2 h ago')).toBe('2026-03-02T07:30:00+01:00');
  expect(at('2026-02-27 20:58')).toBe('2026-02-27T20:58:00+01:00');
  expect(at('2026-02-27T20:58:00+01:00')).toBe('2026-02-27T20:58:00+01:00');
});

test('what is no time is refused', () => {
  for (const text of ['', 'soon', '25:00', '20:60', '2026-13-40 20:58', '20', '-5 min ago', 'tomorrow 10:00'])
    expect(at(text), text).toBeUndefined();
});

test('a time of day is never more than a minute ahead, and never more than a day ago', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 4e12 }),
      fc.integer({ min: -840, max: 840 }),
      fc.nat(1439),
      (ms, offset, minutes) => {
        const text = `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
        const read = parsePastTime(text, ms, offset);
        const instant = read.ok ? parseInstant(read.value) : read;
        if (!instant.ok) throw new Error(text);
        expect(instant.value.ms).toBeLessThanOrEqual(ms + 60_000);
        expect(instant.value.ms).toBeGreaterThan(ms - 86_400_000);
        expect(printInstant(instant.value.ms, offset).slice(11, 16)).toBe(text.padStart(5, '0'));
      },
    ),
  );
});
