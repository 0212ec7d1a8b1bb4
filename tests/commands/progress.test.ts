import { expect, it } from 'vitest';
import { progressOn } from '../../src/commands/progress.ts';
import type { Call } from '../../src/commands/spec.ts';

const scene = (isTTY: boolean, asJson = false) => {
  const written: string[] = [];
  let now = 0;
  const host = {
    streams: { stderr: { isTTY, write: (text: string) => written.push(text) } },
    clock: { monotonic: () => now },
  };
  const call = { host, flag: () => asJson } as unknown as Call;
  const progress = progressOn(call, 'Reading procedures');
  const at = (ms: number, done: number): void => {
    now = ms;
    progress(done, 5000);
  };
  return { at, written };
};

it('shows one line, rewritten in place, once a second has passed, and takes it away at the end', () => {
  const { at, written } = scene(true);
  at(0, 1);
  at(999, 1000);
  expect(written).toEqual([]);
  at(1000, 1240);
  at(1050, 1300);
  at(1100, 1360);
  at(4000, 5000);
  expect(written).toEqual([
    '\r\u001b[KReading procedures: 1,240 of 5,000',
    '\r\u001b[KReading procedures: 1,360 of 5,000',
    '\r\u001b[K',
  ]);
});

it('writes nothing where the work takes less than a second', () => {
  const { at, written } = scene(true);
  at(0, 1);
  at(900, 5000);
  expect(written).toEqual([]);
});

it('each work has a second of its own', () => {
  const { at, written } = scene(true);
  at(0, 1);
  at(900, 5000);
  at(1500, 1);
  at(2400, 2);
  expect(written).toEqual([]);
});

it.each([
  [false, false],
  [true, true],
])('writes nothing into a pipe, nor with --json', (isTTY, asJson) => {
  const { at, written } = scene(isTTY, asJson);
  at(0, 1);
  at(5000, 2);
  expect(written).toEqual([]);
});
