import type { Timers } from './timers.ts';

export interface TerminalSize {
  readonly columns: number;
  readonly rows: number;
}

export interface Painter {
  /** Shows a whole frame, its rows separated by `\n`. A frame taller than the screen is cut. */
  readonly paint: (frame: string) => void;
  /** Forgets what is on the screen, so that the next paint, which follows soon, draws every row. */
  readonly forget: () => void;
  /** Stops painting until `start`. */
  readonly stop: () => void;
  /** Paints again, the whole last frame first. */
  readonly start: () => void;
}

export interface PainterParts {
  /** Each call is one write to the terminal. */
  readonly write: (text: string) => void;
  readonly size: () => TerminalSize;
  readonly timers: Timers;
}

/** In ms from one paint to the next: a screen shows no more than 60 frames a second. */
const interval = 16;

// The terminal collects everything between these two and shows it at once (mode 2026). Terminals without the mode ignore it.
const together = (text: string): string => `\u001b[?2026h${text}\u001b[?2026l`;

/**
 * The row is erased first and then written, so that nothing old remains whatever width the terminal gives a character. Lines do
 * not wrap (mode 7 is off), so that a wrong width affects its own row only. Colours end with the row.
 */
const drawRow = (row: string, index: number): string => `\u001b[${index + 1};1H\u001b[K${row}\u001b[0m`;

/** Keeps the screen equal to the last frame by writing only the rows that changed. The first frame after a pause is painted at once. */
export const painter = ({ write, size, timers }: PainterParts): Painter => {
  let shown: readonly string[] | undefined;
  let frame: string | undefined;
  let running = true;
  let last = -Infinity;
  let cancel: (() => void) | undefined;

  const draw = (): void => {
    cancel = undefined;
    if (!running || frame === undefined) return;
    const { rows } = size();
    const next = frame.split('\n').slice(0, rows);
    const height = Math.min(rows, Math.max(next.length, shown?.length ?? 0));
    let changes = shown === undefined ? '\u001b[0m\u001b[2J' : '';
    for (let y = 0; y < height; y++) {
      const row = next[y] ?? '';
      if (row !== (shown === undefined ? '' : (shown[y] ?? ''))) changes += drawRow(row, y);
    }
    shown = next;
    if (changes === '') return;
    last = timers.now();
    write(together(changes));
  };
  const drawSoon = (): void => {
    if (!running || cancel !== undefined) return;
    const wait = last + interval - timers.now();
    if (wait <= 0) draw();
    else cancel = timers.after(wait, draw);
  };
  return {
    paint: (text) => {
      frame = text;
      drawSoon();
    },
    forget: () => {
      shown = undefined;
      // Not at once: a frame of the new size is about to be drawn.
      if (running) cancel ??= timers.after(interval, draw);
    },
    stop: () => {
      running = false;
      cancel?.();
      cancel = undefined;
    },
    start: () => {
      running = true;
      shown = undefined;
      drawSoon();
    },
  };
};
