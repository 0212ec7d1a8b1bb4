import { render } from 'ink';
import type { Terminal } from '../terminal/session.ts';
import type { Timers } from '../terminal/timers.ts';
import type { Marks } from './parts/marks.ts';
import type { BenchPort, Now } from './ports.ts';
import { runBench } from './run.ts';
import { App } from './screens/app.tsx';
import { newSession, type View } from './session/state.ts';
import type { ThemeName } from './theme.ts';

export interface BenchOptions {
  readonly port: BenchPort;
  readonly terminal: Terminal;
  readonly timers: Timers;
  readonly now: () => Now;
  /** Who is signed on; absent before anybody has a key. */
  readonly by?: string;
  /** A job to open at once. */
  readonly job?: string;
  readonly view: View;
  readonly theme: ThemeName;
  readonly marks: Marks;
}

const second = 1000;
const minute = 60_000;

/** Opens the bench on a terminal that was taken already, and resolves when it is given back. */
export const openBench = (options: BenchOptions): Promise<void> =>
  new Promise((resolve) => {
    const { port, terminal, timers, now, marks } = options;
    const bench = runBench({
      port,
      session: newSession(options.by, options.view, options.theme),
      ...(options.job === undefined ? {} : { job: options.job }),
      size: terminal.size,
      now,
      monotonic: timers.now,
      marks,
      bell: terminal.bell,
      leave: terminal.leave,
    });
    let cancel: (() => void) | undefined;
    /** Once a second only while a clock shows seconds; else at the turn of each minute. */
    const tickLater = (): void => {
      const every = bench.frame().seconds ? second : minute;
      cancel = timers.after(every - (now().ms % every), () => {
        bench.tick();
        tickLater();
      });
    };
    /** A key may have started a clock that shows seconds: then the next tick must come sooner. */
    const onKey = (key: Parameters<typeof bench.press>[0]): void => {
      const before = bench.frame().seconds;
      bench.press(key);
      if (bench.frame().seconds === before) return;
      cancel?.();
      tickLater();
    };
    const ink = render(<App bench={bench} size={terminal.size} marks={marks} />, terminal.renderOptions);
    terminal.onKey(onKey);
    terminal.onResize(() => bench.changed());
    terminal.onLeave(() => {
      cancel?.();
      ink.unmount();
      resolve();
    });
    tickLater();
  });
