import { describe, expect, it } from 'vitest';
import { parseInstant } from '../../src/quantity/time.ts';
import { timeFrom } from '../../src/workshop/rehearsal/times.ts';

const nine = parseInstant('2026-03-28T09:00:00+01:00');
const from = nine.ok ? nine.value : undefined;
const text = (written: string): string => {
  const read = timeFrom(written, from);
  return read.ok ? read.value.text : read.fault.code;
};

describe('a time in a script', () => {
  it.each([
    ['2026-03-02T09:00:00+01:00', '2026-03-02T09:00:00+01:00'],
    ['+20h', '2026-03-29T05:00:00+01:00'],
    ['+20 h', '2026-03-29T05:00:00+01:00'],
    ['+10min', '2026-03-28T09:10:00+01:00'],
    ['+10m', '2026-03-28T09:10:00+01:00'],
    ['+2d', '2026-03-30T09:00:00+01:00'],
    ['+11 h 50 min', '2026-03-28T20:50:00+01:00'],
    ['+1s', '2026-03-28T09:00:01+01:00'],
    ['-2h', '2026-03-28T07:00:00+01:00'],
    ['+0min', '2026-03-28T09:00:00+01:00'],
  ])('%s is %s', (written, instant) => {
    expect(text(written)).toBe(instant);
  });

  it.each(['+', '+20', '+2 parsecs', 'tomorrow', '2026-02-30T09:00:00Z', '2026-03-02T09:00:00'])(
    '%j is not a time',
    (written) => {
      expect(text(written)).toMatch(/unreadable/);
    },
  );

  it('cannot be relative without an earlier time', () => {
    const read = timeFrom('+1h', undefined);
    expect(!read.ok && read.fault).toMatchObject({ kind: 'usage', code: 'instant-unreadable' });
  });
});
