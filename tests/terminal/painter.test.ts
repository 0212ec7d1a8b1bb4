import headless from '@xterm/headless';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { painter, type TerminalSize } from '../../src/terminal/painter.ts';
import { handTimers } from '../support/hand-timers.ts';

const begin = (columns = 20, rows = 5) => {
  const terminal = new headless.Terminal({ cols: columns, rows, allowProposedApi: true });
  const timers = handTimers();
  const writes: string[] = [];
  let size: TerminalSize = { columns, rows };
  const screen = painter({ write: (text) => writes.push(text), size: () => size, timers });
  /** The screen of a terminal that received every write so far. */
  const shown = async (): Promise<string[]> => {
    await new Promise<void>((resolve) => terminal.write(writes.join(''), resolve));
    writes.length = 0;
    return Array.from({ length: terminal.rows }, (_, y) =>
      (terminal.buffer.active.getLine(y)?.translateToString(true, 0, terminal.cols) ?? '').trimEnd(),
    );
  };
  const resize = (cols: number, height: number): void => {
    terminal.resize(cols, height);
    size = { columns: cols, rows: height };
  };
  terminal.write('\u001b[?1049h\u001b[?7l');
  return { terminal, timers, writes, screen, shown, resize };
};

const rowsOf = (frame: string, rows: number): string[] =>
  Array.from({ length: rows }, (_, y) => (frame.split('\n')[y] ?? '').trimEnd());

describe('the painter', () => {
  it('shows a frame at its whole height and width', async () => {
    const { screen, shown } = begin(6, 3);
    screen.paint('abcdef\n  b\n123456');
    expect(await shown()).toEqual(['abcdef', '  b', '123456']);
  });

  it('writes only the rows that changed', async () => {
    const { screen, writes, timers, shown } = begin();
    screen.paint('one\ntwo\nthree');
    await shown();
    timers.pass(20);
    screen.paint('one\nTWO\nthree');
    expect(writes.join('')).toBe('\u001b[?2026h\u001b[2;1H\u001b[KTWO\u001b[0m\u001b[?2026l');
    await shown();
    timers.pass(20);
    screen.paint('one\nTWO\nthree');
    timers.pass(20);
    expect(writes).toEqual([]);
  });

  it('paints the first frame at once and then the newest every 16 ms', () => {
    const { screen, writes, timers } = begin();
    for (const frame of ['a', 'b', 'c']) screen.paint(frame);
    expect(writes).toHaveLength(1);
    timers.pass(15);
    expect(writes).toHaveLength(1);
    timers.pass(1);
    expect(writes).toHaveLength(2);
    expect(writes[1]).toContain('c');
    timers.pass(1000);
    expect(writes).toHaveLength(2);
  });

  it('cuts a frame that is taller than the screen', async () => {
    const { screen, shown } = begin(10, 3);
    screen.paint('1\n2\n3\n4\n5');
    expect(await shown()).toEqual(['1', '2', '3']);
  });

  it('leaves no part of a wider row, a taller frame or a colour', async () => {
    const { screen, shown, timers, terminal } = begin(10, 3);
    screen.paint('\u001b[41mwide row..\n漢字\nlast');
    await shown();
    timers.pass(20);
    screen.paint('x\nab');
    expect(await shown()).toEqual(['x', 'ab', '']);
    for (const y of [0, 1, 2]) expect(terminal.buffer.active.getLine(y)?.getCell(9)?.isBgDefault()).toBe(true);
  });

  it('draws everything again soon after a resize, even when no new frame comes', async () => {
    const { screen, shown, timers, resize, terminal } = begin(10, 4);
    screen.paint('0123456789\nb\nc\nd');
    await shown();
    resize(5, 3);
    await new Promise<void>((resolve) => terminal.write('\u001b[2J\u001b[Hdirt', resolve));
    screen.forget();
    timers.pass(16);
    expect((await shown()).slice(1)).toEqual(['b', 'c']);
    timers.pass(20);
    screen.paint('01234\nB\nc');
    expect(await shown()).toEqual(['01234', 'B', 'c']);
  });

  it('writes nothing once stopped, and the whole frame when started again', async () => {
    const { screen, shown, timers, writes, terminal } = begin(10, 2);
    screen.paint('a\nb');
    screen.paint('a\nc');
    await shown();
    screen.stop();
    screen.paint('a\nd');
    screen.forget();
    timers.pass(1000);
    expect(writes).toEqual([]);
    await new Promise<void>((resolve) => terminal.write('\u001b[2J\u001b[Hshell', resolve));
    screen.start();
    expect(await shown()).toEqual(['a', 'd']);
  });

  const row = fc.array(fc.constantFrom('a', 'B', ' ', '─', '漢', 'é', '\u001b[31m', '\u001b[7m', '\u001b[0m', '✓'), {
    maxLength: 8,
  });
  const frames = fc.array(
    fc
      .array(
        row.map((parts) => parts.join('')),
        { minLength: 1, maxLength: 6 },
      )
      .map((rows) => rows.join('\n')),
    { minLength: 1, maxLength: 8 },
  );

  it('always shows the last frame, whatever came before and at any time', async () => {
    const plain = (frame: string): string => frame.replaceAll(/\u001b\[\d*m/g, '');
    await fc.assert(
      fc.asyncProperty(frames, fc.array(fc.constantFrom(0, 5, 16, 40)), async (all, waits) => {
        const { screen, shown, timers } = begin(20, 5);
        for (const [index, frame] of all.entries()) {
          screen.paint(frame);
          timers.pass(waits[index] ?? 0);
        }
        timers.pass(16);
        expect(await shown()).toEqual(rowsOf(plain(all.at(-1) ?? ''), 5));
      }),
      { numRuns: 60 },
    );
  });
});
