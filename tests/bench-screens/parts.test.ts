import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countdown, spanWords, spoken, spokenTime } from '../../src/bench/drawing/clock.ts';
import { cureCurve, cureStrip, progressBar } from '../../src/bench/drawing/curve.ts';
import { largeClock, spaced } from '../../src/bench/drawing/digits.ts';
import { gauge } from '../../src/bench/drawing/gauge.ts';
import { listRows, windowOf } from '../../src/bench/drawing/list.ts';
import { tighteningMap } from '../../src/bench/drawing/map.ts';
import { ascii, drawn, marksFor } from '../../src/bench/drawing/marks.ts';
import { rivetLine, type Rivet } from '../../src/bench/drawing/rivets.ts';
import { cut, fit, paragraphRows, rowText, rowWidth, span, spreadApart } from '../../src/bench/drawing/rows.ts';
import { widthOf } from '../../src/report/width.ts';
import { decide } from '../../src/quantity/decision.ts';
import { fixLimits, parseLimits } from '../../src/quantity/limits.ts';
import { parseQuantity } from '../../src/quantity/quantity.ts';

const limitsOf = (text: string) => {
  const parsed = parseLimits(text);
  const fixed = parsed.ok ? fixLimits(parsed.value, () => undefined) : undefined;
  if (!fixed) throw new Error(text);
  return fixed;
};

const valueOf = (text: string) => {
  const parsed = parseQuantity(text);
  if (!parsed.ok) throw new Error(text);
  return parsed.value;
};

describe('rows', () => {
  const words = fc.string({ unit: 'grapheme', maxLength: 60 });

  test('nothing that is cut, fitted or spread is wider than it may be', () => {
    fc.assert(
      fc.property(words, words, fc.integer({ min: 0, max: 50 }), (one, other, width) => {
        expect(widthOf(cut(one, width))).toBeLessThanOrEqual(width);
        expect(rowWidth(fit([span(one), span(other)], width))).toBeLessThanOrEqual(width);
        expect(rowWidth(spreadApart([span(one)], [span(other)], width))).toBeLessThanOrEqual(Math.max(1, width));
      }),
    );
  });

  test('wrapping keeps every word, and no line is too wide', () => {
    fc.assert(
      fc.property(
        fc.array(fc.stringMatching(/^[a-z]{1,10}$/), { minLength: 1 }),
        fc.integer({ min: 12, max: 60 }),
        (list, width) => {
          const lines = paragraphRows(list.join(' '), width, 'plain', 2).map(rowText);
          for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(width);
          expect(lines.map((line) => line.trim()).join(' ')).toBe(list.join(' '));
        },
      ),
    );
  });

  test('a word longer than the line is broken, not lost', () => {
    expect(paragraphRows('abcdefgh', 3).map(rowText)).toEqual(['abc', 'def', 'gh']);
  });

  test('characters that steer a terminal are spelled out', () => {
    expect(rowText([span('red\u001b[31m')])).toBe('red\\u{1b}[31m');
  });
});

describe('the rivet line', () => {
  const rivets: readonly Rivet[] = [
    'driven',
    'driven',
    'open',
    'todo',
    'permanentOpen',
    'cure',
    'holdShut',
    'left',
    'outside',
  ];

  test('it has one mark for each step', () => {
    expect(rowText(rivetLine(rivets, 2, drawn, 40))).toBe('●●◉○▢≈◇◌×');
    expect(rowText(rivetLine(rivets, 2, ascii, 40))).toBe('##@o[]~<>.x');
  });

  test('a hold that is open keeps its shape and is pointed at', () => {
    expect(rowText(rivetLine(['driven', 'holdShut', 'todo'], 1, drawn, 40))).toBe('●>◇○');
  });

  test('however long the job, the line fits and the open step is in it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2000 }), fc.nat(), fc.integer({ min: 8, max: 120 }), (count, at, width) => {
        const open = at % count;
        const line = Array.from({ length: count }, (_, index): Rivet =>
          index < open ? 'driven' : index === open ? 'open' : 'todo',
        );
        for (const marks of [drawn, ascii]) {
          const text = rowText(rivetLine(line, open, marks, width));
          expect(widthOf(text)).toBeLessThanOrEqual(width);
          expect(text).toContain(marks.open);
        }
      }),
    );
  });
});

describe('the gauge', () => {
  const draw = (limits: string, value: string, width = 46): string => {
    const fixed = limitsOf(limits);
    const quantity = valueOf(value);
    return rowText(gauge(fixed, quantity, decide(quantity, fixed) === 'within', drawn, width));
  };

  test('a value within its limits is between the ends', () => {
    expect(draw('at most 0.15 mm', '0.12 mm')).toMatch(/^ +├─+●─+┤ +at most 0\.15 mm$/);
    expect(draw('12.5 ± 0.1 mm', '12.6 mm')).toMatch(/├─+●┤/);
    expect(draw('12.5 ± 0.1 mm', '12.4 mm')).toMatch(/├●─+┤/);
  });

  test('a value outside its limits is beyond the end that it passed', () => {
    expect(draw('at most 0.15 mm', '0.16 mm')).toMatch(/┤ ?×/);
    expect(draw('12.5 ± 0.1 mm', '12.399 mm')).toMatch(/× ?├/);
    expect(draw('less than 5 mm', '5 mm')).toMatch(/┤ ?×/);
  });

  test('the mark agrees with the verdict, however the columns round', () => {
    fc.assert(
      fc.property(fc.integer({ min: -3000, max: 30_000 }), fc.integer({ min: 30, max: 120 }), (thousandths, width) => {
        const text = `${(thousandths / 1000).toFixed(3)} mm`;
        const limits = limitsOf('12.5 ± 0.1 mm');
        const within = decide(valueOf(text), limits) === 'within';
        const row = gauge(limits, valueOf(text), within, drawn, width);
        expect(rowWidth(row)).toBeLessThanOrEqual(width);
        const [low, high] = [rowText(row).indexOf('├'), rowText(row).indexOf('┤')];
        const at = rowText(row).search(/[●×]/);
        expect(at > low && at < high).toBe(within);
      }),
    );
  });

  test('where there is no room only the words are shown', () => {
    expect(draw('at most 0.15 mm', '0.12 mm', 22)).toBe('at most 0.15 mm');
  });
});

describe('digits', () => {
  test('digits stand apart, units together', () => {
    expect(spaced('0.12 mm')).toBe('0 . 1 2   mm');
    expect(spaced('1-3/4 in')).toBe('1 - 3 / 4   in');
    expect(spaced("15°30'")).toBe("1 5 ° 3 0 '");
  });

  test('a large clock is three rows of one width', () => {
    const rows = largeClock('21:34', drawn, 'plain');
    expect(rows.map(rowWidth)).toEqual([17, 17, 17]);
    expect(rows.map(rowText)).toMatchInlineSnapshot(`
      [
        "▀▀█ ▄█  ▄ ▀▀█ █ █",
        "█▀▀  █  ▄  ▀█ ▀▀█",
        "▀▀▀ ▀▀▀   ▀▀▀   ▀",
      ]
    `);
    expect(largeClock('21:34', ascii, 'plain').map(rowText)).toEqual(['2 1 : 3 4']);
  });
});

describe('clocks', () => {
  const now = Date.UTC(2026, 2, 2, 8, 0);

  test('what is left is never rounded up', () => {
    expect(countdown(59_999)).toBe('0:59');
    expect(countdown(3_600_000)).toBe('1:00:00');
    expect(countdown(-5)).toBe('0:00');
    expect(spanWords(59_999)).toBe('59 s');
    expect(spanWords(59 * 60_000 + 59_999)).toBe('59 min');
    expect(spanWords(3 * 3_600_000 + 5 * 60_000)).toBe('3 h 05 min');
    expect(spanWords(52 * 3_600_000)).toBe('2 d 4 h');
  });

  test('a time is printed as one says it today', () => {
    expect(spokenTime(now, now, 60)).toBe('09:00');
    expect(spokenTime(now + 86_400_000, now, 60)).toBe('09:00 tomorrow');
    expect(spokenTime(now - 86_400_000, now, 60)).toBe('09:00 yesterday');
    expect(spokenTime(now + 3 * 86_400_000, now, 60)).toBe('Thu 09:00');
    expect(spokenTime(now + 30 * 86_400_000, now, 60)).toBe('2026-04-01 09:00');
  });

  test("instants in the engine's texts become times of day", () => {
    expect(spoken('apply it by 2026-03-02T09:35:00+01:00', now, 60)).toBe('apply it by 09:35');
    expect(spoken('no instant: 2026-13-02T09:35:00+01:00', now, 60)).toBe('no instant: 2026-13-02T09:35:00+01:00');
  });
});

describe('the curve of a cure', () => {
  /** The cold night, a column an hour: 19 °C that counts, 15 °C that does not, 20 °C that does. */
  const night = Array.from({ length: 38 }, (_, hour) => ({
    warmth: hour < 6 ? 19 : hour < 26 ? 15 : 20,
    counted: hour < 6 || hour >= 26,
  }));
  const words = { floor: '18 °C', degrees: (more: number) => (18 + more).toFixed(1), from: '12:00', to: 'now' };

  test('a cold night is a notch, and hollow beneath', () => {
    const [curve, counted] = cureStrip(night, 18, drawn).map(rowText);
    expect(curve).toBe(`${'▅'.repeat(6)}${'▁'.repeat(20)}${'█'.repeat(12)}`);
    expect(counted).toBe(`${'█'.repeat(6)}${'░'.repeat(20)}${'█'.repeat(12)}`);
  });

  test('drawn to scale it is below the floor, and the floor is labelled', () => {
    expect(cureCurve(night, 18, words, drawn, 5).map((row) => rowText(row).trimEnd())).toEqual([
      ` 20.0 ${' '.repeat(26)}${'█'.repeat(12)}`,
      `18 °C ${'█'.repeat(6)}${'▁'.repeat(20)}${'█'.repeat(12)}`,
      `      ${'█'.repeat(6)}${' '.repeat(20)}${'█'.repeat(12)}`,
      `      ${'█'.repeat(6)}${' '.repeat(20)}${'█'.repeat(12)}`,
      ` 15.0 ${'█'.repeat(6)}${'░'.repeat(20)}${'█'.repeat(12)}`,
      `      12:00${' '.repeat(30)}now`,
    ]);
  });

  test('a column below the floor never reaches it, one at the floor does, and colour alone never says which', () => {
    const cell = fc.record({ warmth: fc.double({ min: -20, max: 60, noNaN: true }) });
    fc.assert(
      fc.property(
        fc.array(fc.option(cell, { nil: undefined }), { minLength: 1, maxLength: 60 }),
        fc.double({ min: -10, max: 50, noNaN: true }),
        fc.integer({ min: 3, max: 14 }),
        fc.constantFrom(drawn, ascii),
        (known, floor, height, marks) => {
          const cells = known.map((one) => one && { warmth: one.warmth, counted: one.warmth >= floor });
          const rows = cureCurve(cells, floor, words, marks, height).map((row) => Array.from(rowText(row)));
          expect(rows).toHaveLength(height + 1);
          const line = rows.findIndex((row) => row.join('').startsWith('18 °C'));
          const start = (rows[0]?.length ?? 0) - cells.length;
          for (const [index, one] of cells.entries()) {
            const at = rows.slice(0, height).map((row) => row[start + index]);
            const above = at.slice(0, line + 1).filter((text) => text === marks.hollow || text === marks.filled);
            if (one === undefined || !one.counted) expect(above).toEqual([]);
            if (one?.counted === true) expect(at.slice(line + 1).every((text) => text === marks.filled)).toBe(true);
            if (one?.counted === false) expect(at[height - 1]).toBe(marks.hollow);
          }
        },
      ),
    );
  });

  test('a bar is to scale: empty at the start, full only when it is reached', () => {
    const day = 24 * 3600;
    const at = (seconds: number, reached = false): string =>
      rowText(progressBar({ progress: seconds / day, percent: Math.floor((100 * seconds) / day), reached }, drawn, 28));
    expect(at(25)).toBe(`├${'·'.repeat(20)}┤   0 %`);
    expect(at(11.4 * 3600)).toBe(`├${'█'.repeat(9)}▌${'·'.repeat(10)}┤  47 %`);
    expect(at(day - 1)).toBe(`├${'█'.repeat(19)}▌┤  99 %`);
    expect(at(day, true)).toBe(`├${'█'.repeat(20)}┤ 100 %`);
    expect(rowText(progressBar({ progress: 0.5, percent: 50, reached: false }, ascii, 28))).toBe(
      `|${'#'.repeat(10)}${'.'.repeat(10)}|  50 %`,
    );
  });
});

test('the tightening map follows the order of the procedure and points at the next fastener', () => {
  const rows = tighteningMap(
    [1, 5, 3, 7],
    (one) => (one === 1 ? 'done' : one === 5 ? 'outside' : 'todo'),
    3,
    drawn,
    46,
  );
  expect(rows.map((row) => rowText(row).trimEnd())).toEqual([' 1  5 >3  7', ' ●  ×  ◉  ○']);
});

describe('lists', () => {
  test('the selected item is always in what is shown', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 200 }), fc.nat(), fc.integer({ min: 1, max: 20 }), (count, at, rows) => {
        const selected = at % count;
        const { from, to } = windowOf(count, selected, rows);
        expect(to - from).toBe(Math.min(count, rows));
        expect(selected >= from && selected < to).toBe(true);
      }),
    );
  });

  test('it says how many are not shown', () => {
    const items = Array.from({ length: 9 }, (_, index) => ({ row: [span(`item ${index + 1}`)] }));
    expect(listRows(items, 0, drawn, 20, 3).map((row) => rowText(row).trimEnd())).toEqual([
      '>1 item 1',
      ' 2 item 2',
      ' 3 item 3 ↓6',
    ]);
  });
});

test('marks follow the locale: UTF-8 by the first of LC_ALL, LC_CTYPE, LANG that is set', () => {
  expect(marksFor({ LANG: 'C.UTF-8', TERM: 'xterm' })).toBe(drawn);
  expect(marksFor({ LC_ALL: '', LC_CTYPE: 'de_AT.utf8', LANG: 'C', TERM: 'xterm' })).toBe(drawn);
  expect(marksFor({ LC_ALL: 'C', LANG: 'C.UTF-8', TERM: 'xterm' })).toBe(ascii);
  expect(marksFor({ TERM: 'xterm' })).toBe(ascii);
  expect(marksFor({ LANG: 'C.UTF-8', TERM: 'linux' })).toBe(ascii);
});
