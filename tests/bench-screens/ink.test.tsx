import { render } from 'ink-testing-library';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { drawn } from '../../src/bench/drawing/marks.ts';
import { App } from '../../src/bench/screens/app.tsx';
import { frameText, type Size } from '../../src/bench/view/frame.ts';
import type { Fake } from './fake.ts';
import { atHold, coldNight, mixed, started } from './scenes.ts';

const open: (() => void)[] = [];

afterEach(() => {
  for (const unmount of open.splice(0)) unmount();
  vi.restoreAllMocks();
});

/** What Ink draws of a bench; the size is the terminal's. */
const draw = (fake: Fake, size: Size) => {
  fake.resize(size.columns, size.rows);
  let now = size;
  const drawnBy = render(<App bench={fake.bench} size={() => now} marks={drawn} />);
  Object.defineProperty(drawnBy.stdout, 'columns', { get: () => now.columns, configurable: true });
  drawnBy.stdout.emit('resize');
  open.push(drawnBy.unmount);
  return {
    rows: (): readonly string[] => (drawnBy.lastFrame() ?? '').split('\n').map((row) => row.trimEnd()),
    resize: (columns: number, rows: number): void => {
      now = { columns, rows };
      drawnBy.stdout.emit('resize');
      fake.resize(columns, rows);
    },
  };
};

const same = (fake: Fake, rows: () => readonly string[]): Promise<void> =>
  vi.waitFor(() => expect(rows()).toEqual(frameText(fake.bench.frame(), drawn)));

describe.each([
  ['bench view', { columns: 48, rows: 13 }],
  ['least', { columns: 40, rows: 12 }],
  ['desk view', { columns: 80, rows: 24 }],
  ['large', { columns: 200, rows: 60 }],
] as const)('%s', (_, size) => {
  test.each([
    ['a reading', started],
    ['a pot life', mixed],
    ['a cure', coldNight],
    ['a hold', atHold],
  ])('Ink draws %s as it was laid out', async (_name, scene) => {
    const fake = scene();
    const { rows } = draw(fake, size);
    await same(fake, rows);
    expect(rows()).toHaveLength(size.rows);
  });
});

test('each key changes the screen, and a resize lays it out anew', async () => {
  const fake = started();
  const { rows, resize } = draw(fake, { columns: 80, rows: 24 });
  fake.press('0.12');
  await vi.waitFor(() => expect(rows().join('\n')).toContain('0 . 1 2▏'));
  resize(39, 10);
  await vi.waitFor(() => expect(rows()[0]).toBe('terminal too small'));
  resize(48, 13);
  await same(fake, rows);
  expect(rows().join('\n')).toContain('0 . 1 2▏');
});

test('React has nothing to warn about', async () => {
  const warned = [vi.spyOn(console, 'error'), vi.spyOn(console, 'warn')];
  const fake = started();
  const { rows, resize } = draw(fake, { columns: 80, rows: 24 });
  fake.press('0.12', 'enter', ' ', '9', 'escape', 'escape');
  resize(48, 13);
  await same(fake, rows);
  for (const spy of warned) expect(spy).not.toHaveBeenCalled();
});
