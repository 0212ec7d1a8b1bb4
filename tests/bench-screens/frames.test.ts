import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rowWidth } from '../../src/bench/drawing/rows.ts';
import type { Frame, Size } from '../../src/bench/view/frame.ts';
import type { Fake } from './fake.ts';
import { scenes, started } from './scenes.ts';

/** How wide each row of a frame is, as it stands on the screen. */
const measured = (frame: Frame): readonly number[] => {
  const middle = frame.main.map((line, index) => {
    const side = frame.side[index];
    return side ? Math.max(rowWidth(line), frame.mainWidth + 3 + rowWidth(side)) : rowWidth(line);
  });
  return [...frame.head.map(rowWidth), ...middle, ...frame.foot.map(rowWidth)];
};

const sizes: readonly Size[] = [
  { columns: 48, rows: 13 },
  { columns: 40, rows: 12 },
  { columns: 80, rows: 24 },
  { columns: 200, rows: 60 },
];

// The id of a job holds six digits of a hash; keys, and so hashes, are new in every run.
const steady = (text: string): string => text.replace(/\b(bench-trial-left)-[0-9a-f]{6}/g, '$1-xxxxxx');

describe.each(Object.entries(scenes))('%s', (name, scene) => {
  // Made once: these tests only change its size.
  let made: Fake | undefined;
  const look = (): Fake => (made ??= scene());

  test('reads as before', async () => {
    const fake = look();
    for (const { columns, rows } of sizes) {
      const text = steady(fake.resize(columns, rows).text());
      await expect(`${text}\n`).toMatchFileSnapshot(`screens/${name}.${columns}x${rows}.txt`);
    }
  });

  test('never exceeds the screen, and fills it', () => {
    const fake = look();
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 220 }), fc.integer({ min: 1, max: 70 }), (columns, rows) => {
        const widths = measured(fake.resize(columns, rows).bench.frame());
        expect(widths).toHaveLength(rows);
        expect(Math.max(...widths)).toBeLessThanOrEqual(columns);
      }),
      { numRuns: 25 },
    );
  });

  test('offers something to do at 48 x 13, and at 40 x 12', () => {
    const fake = look();
    for (const [columns, rows] of [
      [48, 13],
      [40, 12],
    ] as const) {
      const lines = fake.resize(columns, rows).text().split('\n');
      const field = lines.some((line) => line.includes('▏'));
      const list = lines.some((line) => /^ [ >]1 /.test(line));
      const keys = /(?:enter|esc|[bfm↓]): /.test(lines.at(-2) ?? '');
      expect(field || list || keys, lines.join('\n')).toBe(true);
    }
  });
});

test('a terminal smaller than 40 x 12 says so, and the bench returns when it grows', () => {
  const fake = started();
  expect(fake.resize(39, 12).text()).toContain('terminal too small');
  expect(fake.resize(40, 11).text()).toContain('terminal too small');
  expect(fake.resize(40, 12).text()).toContain('Largest gap');
});

test('in a terminal without UTF-8 all marks are ASCII', () => {
  const fake = started({ plainMarks: true }).press('0.12');
  for (const [columns, rows] of [
    [48, 13],
    [80, 24],
  ] as const) {
    const text = fake.resize(columns, rows).text();
    // What the procedure itself says is left as it is.
    expect(text.replace(/[°±·]/g, '')).toMatch(/^[\x20-\x7e\n]*$/);
    expect(text).toContain('[]');
  }
});

test('the desk view is shown from 80 x 24 up, unless another view is chosen', () => {
  const fake = started();
  expect(fake.resize(80, 24).bench.frame().kind).toBe('desk');
  expect(fake.resize(79, 24).bench.frame().kind).toBe('bench');
  expect(fake.resize(80, 23).bench.frame().kind).toBe('bench');
  fake.resize(80, 24).press(' ', '9', '6');
  expect(fake.bench.frame().kind).toBe('bench');
});

test('a long text scrolls to its end and no further, and one key up moves it back', () => {
  const fake = scenes['cautions']?.();
  const first = fake?.text();
  fake?.press(...Array<string>(80).fill('down'));
  const last = fake?.text();
  expect(last).toContain('"entered"');
  expect(fake?.press('up').text()).not.toBe(last);
  expect(fake?.press(...Array<string>(80).fill('up')).text()).toBe(first);
});
