import { type RenderOptions, renderOptions } from './stand-ins.ts';
import { listeners, type Off } from './listeners.ts';
import { keypressReader } from './key-reader.ts';
import type { Key } from './keys.ts';
import { enterScreen, guardLeaving, leaveScreen, type Life } from './leave.ts';
import { painter, type TerminalSize } from './painter.ts';
import type { Timers } from './timers.ts';

/** The part of a terminal's input that is needed here; `process.stdin` has it. */
interface Input {
  readonly setRawMode: (raw: boolean) => unknown;
  readonly on: (event: 'data' | 'end', act: (chunk: Uint8Array | string) => void) => unknown;
  readonly off: (event: 'data' | 'end', act: (chunk: Uint8Array | string) => void) => unknown;
  readonly resume: () => unknown;
  readonly pause: () => unknown;
}

/** The part of a terminal's output that is needed here; `process.stdout` has it. */
interface Output {
  readonly columns: number;
  readonly rows: number;
  readonly write: (text: string) => unknown;
  readonly on: (event: 'resize' | 'error', act: () => void) => unknown;
  readonly off: (event: 'resize' | 'error', act: () => void) => unknown;
}

export interface TerminalParts {
  readonly stdin: Input;
  readonly stdout: Output;
  readonly life: Life;
  readonly timers: Timers;
}

export interface Terminal {
  readonly size: () => TerminalSize;
  readonly onKey: (act: (key: Key) => void) => Off;
  /** After a resize the whole screen is painted again; the listener should paint a frame of the new size. */
  readonly onResize: (act: (size: TerminalSize) => void) => Off;
  /** Called once, when the terminal is given back for good or is gone, however the program ends. The listener cannot await anything. */
  readonly onLeave: (act: () => void) => Off;
  readonly renderOptions: RenderOptions;
  readonly bell: () => void;
  /** Stops the program until the shell continues it; Ctrl-Z does the same. */
  readonly suspend: () => void;
  readonly leave: () => void;
}

/** Some terminals report 0 by 0, a serial line for instance; then the size of a VT100 is assumed. */
const sizeOf = ({ columns, rows }: Output): TerminalSize => ({ columns: columns || 80, rows: rows || 24 });

/** Takes the terminal: alternate screen, single keys. `leave` gives it back, and so does every other way in which the program ends. */
export const openTerminal = ({ stdin, stdout, life, timers }: TerminalParts): Terminal => {
  const keys = listeners<Key>();
  const resizes = listeners<TerminalSize>();
  const leavings = listeners<void>();
  const size = (): TerminalSize => sizeOf(stdout);
  const screen = painter({ write: (text) => stdout.write(text), size, timers });
  let inside = false;
  let over = false;

  const onKey = (key: Key): void => {
    if (key.kind === 'named' && key.name === 'ctrl-z') guard.suspend();
    else if (!over) keys.tell(key); // keys typed after the one that left belong to the next program
  };
  const reader = keypressReader(onKey, timers);
  const onData = (chunk: Uint8Array | string): void => reader.push(chunk);
  const onSize = (): void => {
    screen.forget();
    resizes.tell(size());
  };
  const setRaw = (raw: boolean): void => {
    try {
      stdin.setRawMode(raw);
    } catch {
      // The terminal is gone; there is nothing left to set.
    }
  };
  const enter = (): void => {
    if (!inside) stdin.on('data', onData);
    inside = true;
    setRaw(false); // where a shell has reset the mode, node still believes that it is raw and would not set it again
    setRaw(true);
    stdin.resume();
    stdout.write(enterScreen);
    screen.start();
  };
  const giveBack = (): void => {
    if (!inside) return;
    inside = false;
    screen.stop();
    reader.stop();
    stdin.off('data', onData);
    stdin.pause();
    setRaw(false);
    stdout.write(leaveScreen);
  };
  const leave = (): void => {
    giveBack();
    if (over) return;
    over = true;
    stdin.off('end', onGone);
    stdout.off('resize', onSize);
    try {
      leavings.tell();
    } finally {
      guard.release();
    }
  };
  const onGone = (): void => {
    if (!over) guard.hangUp();
  };
  const guard = guardLeaving(life, { leave, pause: giveBack, comeBack: enter, inside: () => inside }, timers.after);
  stdin.on('end', onGone);
  stdout.on('resize', onSize);
  // Never removed: output still on its way to a lost terminal must not end the program with an error.
  stdout.on('error', onGone);
  enter();
  return {
    size,
    onKey: keys.add,
    onResize: resizes.add,
    onLeave: leavings.add,
    renderOptions: renderOptions(size, screen.paint),
    bell: () => {
      if (inside) stdout.write('\u0007');
    },
    suspend: guard.suspend,
    leave,
  };
};
