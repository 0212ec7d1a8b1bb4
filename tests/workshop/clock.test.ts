import { describe, expect, it } from 'vitest';
import { runClock } from '../../src/workshop/clock.ts';
import type { Workplace } from '../../src/workshop/place.ts';

const start = Date.parse('2026-03-02T08:00:00.400Z');
const clocks = () => {
  const now = { wall: start, monotonic: 0 };
  const place = { wall: () => now.wall, monotonic: () => now.monotonic, offset: () => 60 } as unknown as Workplace;
  return { now, clock: runClock(place) };
};

describe('the clock of a session', () => {
  it('gives whole seconds at the offset of the place', () => {
    expect(clocks().clock.at()).toBe('2026-03-02T09:00:00+01:00');
  });

  it.each([
    [0, false],
    [60_000, false],
    [60_001, true],
    [-60_001, true],
    [-60_000, false],
  ])('%i ms apart within a run: in doubt is %s', (apart, doubt) => {
    const { now, clock } = clocks();
    now.monotonic += 10_000_000;
    now.wall += 10_000_000 + apart;
    expect(clock.trouble() !== undefined).toBe(doubt);
  });

  it('is believed again once the true time is entered', () => {
    const { now, clock } = clocks();
    now.wall += 3_600_000;
    expect(clock.trouble()).toBeDefined();
    clock.settle();
    expect(clock.trouble()).toBeUndefined();
  });
});
