import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { plotLines, plotWords } from '../../src/report/plot.ts';
import { calculate } from '../../src/trade/calculations.ts';
import type { Plot } from '../../src/trade/plot.ts';

const plotOf = (name: string, inputs: Readonly<Record<string, string>>): Plot => {
  const done = calculate(name, inputs);
  if (!done.ok || !done.value.plot) throw new Error('no plot');
  return done.value.plot;
};

// TM 1-1520-240-BD, ¶g(8): 24 h at 70 °F, 8 h at 120 °F.
const cure = plotOf('cure-time', { at: '104 °F', point1: '24 h at 70 °F', point2: '8 h at 120 °F' });
const balance = (weight: string, arm: string): Plot =>
  plotOf('weight-and-balance', { items: `${weight} at ${arm}`, limits: '10.5 to 21.9 in', 'max-weight': '2100 lb' });

describe('a plot of a result', () => {
  it('of a cure time is a falling curve with its two points and the place asked for', () => {
    expect(plotLines(cure, { width: 48, height: 6 }, true)).toMatchInlineSnapshot(`
      [
        "24 h │○⠤⢄⣀",
        "     │    ⠉⠉⠒⠒⠦⠤⢄⣀⣀",
        "     │             ⠉⠉⠙⠒⠒⠲⠤⠤⠤⣀⣀⣀⡀",
        "     │                         ⠈⠉⠉●⠙⠒⠒⠒⠒⠤⠤⠤⠤⠤⢄⣀○",
        "     │",
        " 0 h │",
        "     └──────────────────────────────────────────",
        "      70 °F                               120 °F",
        "      ● 11.13 h at 104 °F",
      ]
    `);
  });

  it('of weight and balance without limits shows the items and their centre', () => {
    const items = '1169 lb at 10.6 in; 17 lb at -49 in; 170 lb at 16 in';
    expect(plotLines(plotOf('weight-and-balance', { items }), { width: 48, height: 6 }, true)).toMatchInlineSnapshot(`
      [
        "1763 lb │",
        "        │                               ●",
        "        │                               ○",
        "        │",
        "        │",
        "   0 lb │    ○                             ○",
        "        └───────────────────────────────────────",
        "         -58.75 in                      25.75 in",
        "         ● 1356 lb at 10.53 in",
      ]
    `);
  });

  it('of weight and balance with limits shows the centre in them', () => {
    // AC 43.13-1B, figure 10-11: 2036 lb at 21.33 in, limits 21.9 in and 2100 lb. The forward limit is invented.
    expect(plotLines(balance('2036 lb', '21.33 in'), { width: 48, height: 6 }, true)).toMatchInlineSnapshot(`
      [
        "2730 lb │",
        "        │    ┊╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌┊",
        "        │    ┊                           ● ┊",
        "        │    ┊                             ┊",
        "        │    ┊                             ┊",
        "   0 lb │    ┊                             ┊",
        "        └───────────────────────────────────────",
        "         8.79 in                        23.61 in",
        "         ● 2036 lb at 21.33 in",
      ]
    `);
  });

  it('needs no more than ASCII where the terminal has no more', () => {
    const lines = plotLines(cure, { width: 60, height: 8 }, false).map((line) => line.replaceAll('°', ''));
    expect(lines.join('')).toMatch(/^[\x20-\x7e]+$/);
    expect(lines.join('')).toContain('#');
  });

  it('has the same in words, for somebody who reads line by line', () => {
    expect(plotWords(cure)).toBe(
      'time against temperature: here 11.13 h at 104 °F; given 24 h at 70 °F, 8 h at 120 °F',
    );
    expect(plotWords(balance('2200 lb', '22 in'))).toBe(
      'mass against arm: here 2200 lb at 22 in; limits arm from 10.5 in, arm to 21.9 in, mass to 2100 lb',
    );
  });

  it('keeps to its width and height, and is left out where there is no room', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 200 }),
        fc.integer({ min: 2, max: 30 }),
        fc.boolean(),
        (width, height, unicode) => {
          for (const plot of [cure, balance('2036 lb', '21.33 in')]) {
            const lines = plotLines(plot, { width, height }, unicode);
            expect([0, height + 3]).toContain(lines.length);
            if (width >= 40) expect(lines).toHaveLength(height + 3);
            for (const line of lines) expect(stringWidth(line)).toBeLessThanOrEqual(width);
          }
        },
      ),
    );
  });

  it('never draws the result on the wrong side of a limit', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 400_000 }),
        fc.integer({ min: 1, max: 400_000 }),
        fc.integer({ min: 40, max: 100 }),
        (arm, weight, width) => {
          const [inches, pounds] = [arm / 10_000, weight / 100];
          const lines = plotLines(balance(`${pounds} lb`, `${inches} in`), { width, height: 6 }, true);
          const row = lines.findIndex((line) => line.includes('●'));
          const column = lines[row]?.indexOf('●') ?? -1;
          const sides = [...(lines[5] ?? '')].flatMap((cell, at) => (cell === '┊' ? [at] : []));
          const top = lines.findIndex((line) => line.includes('╌'));
          expect(sides.filter((at) => at === column)).toEqual([]);
          const [low = 0, high = 0] = sides.length === 2 ? sides : [];
          if (sides.length === 2) expect(column > low && column < high).toBe(inches >= 10.5 && inches <= 21.9);
          expect(row > top).toBe(pounds <= 2100);
        },
      ),
    );
  });
});
