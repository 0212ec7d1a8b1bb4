import * as pty from '@lydell/node-pty';
import { closeSync, constants, openSync } from 'node:fs';
import headless from '@xterm/headless';

export interface ScreenOptions {
  readonly command: string;
  readonly args?: readonly string[];
  readonly cols?: number;
  readonly rows?: number;
  /** Added to the environment of the tests; undefined removes a name. */
  readonly env?: Readonly<Record<string, string | undefined>>;
  readonly cwd?: string;
}

export interface Cell {
  readonly text: string;
  /** Columns: 2 for a wide character, 0 for the column behind one. */
  readonly width: number;
  readonly bold: boolean;
  readonly dim: boolean;
  readonly inverse: boolean;
  /** The colour's number in the palette; undefined for the default colour. */
  readonly colour: number | undefined;
}

export interface Exit {
  readonly code: number;
  readonly signal: number;
}

export interface Screen {
  /** Resolves when all output so far is on the screen and `holds` is true; fails after `ms` milliseconds and shows the screen. */
  readonly waitFor: (holds: (screen: Screen) => boolean, ms?: number) => Promise<void>;
  /** Waits until the screen holds this text. */
  readonly see: (text: string | RegExp, ms?: number) => Promise<void>;
  /** Row `y` from 0, without the blanks at its end. */
  readonly line: (y: number) => string;
  /** All rows, without the blanks at their ends and without the empty rows at the bottom. */
  readonly text: () => string;
  readonly cell: (x: number, y: number) => Cell;
  /** True while a full-screen program is running (in the alternate buffer). */
  readonly full: () => boolean;
  readonly send: (keys: string) => void;
  readonly resize: (cols: number, rows: number) => void;
  readonly kill: (signal?: NodeJS.Signals) => void;
  /** Closes the terminal, as closing its window does. */
  readonly hangUp: () => void;
  /** Resolves when the program has ended and all its output is on the screen. */
  readonly exit: Promise<Exit>;
  /** All output of the program, with its escape sequences. */
  readonly bytes: () => string;
  readonly pid: number;
  /** Ends the program by force, at the end of a test. */
  readonly close: () => Promise<void>;
}

/** Milliseconds after which a test no longer waits for a screen; far more than any screen takes on a busy machine. */
const patience = 60_000;

/** Variables that change how a program draws. A test sets them itself. */
const unwanted = [
  'CI',
  'CONTINUOUS_INTEGRATION',
  'NO_COLOR',
  'FORCE_COLOR',
  'COLUMNS',
  'LINES',
  'INK_SCREEN_READER',
  'DEV',
];

const environmentOf = (env: ScreenOptions['env']): Record<string, string> => {
  const all = {
    ...process.env,
    TERM: 'xterm-256color',
    ...Object.fromEntries(unwanted.map((name) => [name, undefined])),
    ...env,
  };
  return Object.fromEntries(Object.entries(all).filter((entry): entry is [string, string] => entry[1] !== undefined));
};

const readCell = (terminal: headless.Terminal, x: number, y: number): Cell => {
  const buffer = terminal.buffer.active;
  const cell = buffer.getLine(buffer.baseY + y)?.getCell(x);
  if (cell === undefined) throw new Error(`no cell ${x},${y} on a screen of ${terminal.cols} by ${terminal.rows}`);
  return {
    text: cell.getChars(),
    width: cell.getWidth(),
    bold: cell.isBold() !== 0,
    dim: cell.isDim() !== 0,
    inverse: cell.isInverse() !== 0,
    colour: cell.isFgDefault() ? undefined : cell.getFgColor(),
  };
};

/**
 * Holds the program's end of the terminal open. Otherwise the system closes our end together with the program, and now and then its last
 * output is lost.
 */
const holdOpen = (child: pty.IPty): (() => void) => {
  try {
    // The package's types leave the name out; its unix terminal has it.
    const { ptsName } = child as pty.IPty & { readonly ptsName: string };
    const held = openSync(ptsName, constants.O_RDONLY | constants.O_NOCTTY);
    return () => closeSync(held);
  } catch {
    return () => {}; // it has ended already
  }
};

/** Runs a program in a real pseudo-terminal and reads its screen back. */
export const openScreen = ({ command, args = [], cols = 80, rows = 24, env, cwd }: ScreenOptions): Screen => {
  const terminal = new headless.Terminal({ cols, rows, allowProposedApi: true });
  const child = pty.spawn(command, [...args], {
    cols,
    rows,
    cwd: cwd ?? process.cwd(),
    env: environmentOf(env),
    name: 'xterm-256color',
  });
  const letGo = holdOpen(child);
  let bytes = '';
  let unparsed = 0;
  const watchers = new Set<() => void>();
  const look = (): void => {
    if (unparsed === 0) for (const watcher of watchers) watcher();
  };
  child.onData((data) => {
    bytes += data;
    unparsed++;
    terminal.write(data, () => {
      unparsed--;
      look();
    });
  });
  // The terminal's own answers (cursor position, attributes) go back, as in a real one.
  terminal.onData((answer) => child.write(answer));
  let gone = false;
  const exit = new Promise<Exit>((resolve) => {
    child.onExit(({ exitCode, signal }) => {
      gone = true;
      letGo();
      terminal.write('', () => {
        resolve({ code: exitCode, signal: signal ?? 0 });
        look();
      });
    });
  });

  const line = (y: number): string => {
    const buffer = terminal.buffer.active;
    return (
      buffer
        .getLine(buffer.baseY + y)
        ?.translateToString(true, 0, terminal.cols)
        .trimEnd() ?? ''
    );
  };
  const text = (): string =>
    Array.from({ length: terminal.rows }, (_, y) => line(y))
      .join('\n')
      .trimEnd();
  const screen: Screen = {
    waitFor: (holds, ms = patience) =>
      new Promise((resolve, reject) => {
        const done = (settle: () => void): void => {
          clearTimeout(limit);
          watchers.delete(watcher);
          settle();
        };
        const watcher = (): void => {
          if (holds(screen)) done(resolve);
        };
        const limit = setTimeout(() => {
          const what = `not on the screen after ${ms} ms (${gone ? 'the program is gone' : 'the program runs'}): ${holds.toString()}`;
          done(() => reject(new Error(`${what}\n${text()}`)));
        }, ms);
        watchers.add(watcher);
        look();
      }),
    see: (wanted, ms) => {
      const holds = (): boolean => (typeof wanted === 'string' ? text().includes(wanted) : wanted.test(text()));
      return screen.waitFor(Object.assign(holds, { toString: () => String(wanted) }), ms);
    },
    line,
    text,
    cell: (x, y) => readCell(terminal, x, y),
    full: () => terminal.buffer.active.type === 'alternate',
    send: (keys) => child.write(keys),
    resize: (columns, height) => {
      terminal.resize(columns, height);
      child.resize(columns, height);
    },
    kill: (signal = 'SIGTERM') => process.kill(child.pid, signal),
    // Not in the package's types either.
    hangUp: () => (child as pty.IPty & { destroy: () => void }).destroy(),
    exit,
    bytes: () => bytes,
    pid: child.pid,
    close: async () => {
      if (!gone) child.kill('SIGKILL');
      await exit;
      terminal.dispose();
    },
  };
  return screen;
};
