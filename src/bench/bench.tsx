import { render } from 'ink';
import { noticeLine } from '../store/disk-fault.ts';
import { openTerminal, type Terminal, type TerminalParts } from '../terminal/session.ts';
import type { Timers } from '../terminal/timers.ts';
import { newPages } from '../workshop/procedures/new-pages.ts';
import type { Workshop } from '../workshop/workshop.ts';
import { burstReader } from './burst.ts';
import { marksFor, type Marks } from './drawing/marks.ts';
import type { BenchPort, Now } from './ports.ts';
import { runBench, type Bench } from './run.ts';
import { App } from './screens/app.tsx';
import { newSession, type View } from './session/state.ts';
import { themeFor } from './theme.ts';
import { workshopPort } from './workshop-port.ts';

export interface BenchOptions {
  /** Open for writing, or for reading only where it may not be written. */
  readonly workshop: Workshop;
  /** Who is signed on. Absent before anybody has a key, or where several people have one and none was named. */
  readonly by?: string;
  /** `--key FILE`. */
  readonly keyFile?: string;
  /** The id of a job to open at once. */
  readonly job?: string;
  /** As saved on this machine. A value that the bench does not know is ignored. */
  readonly settings: { readonly theme?: string | undefined; readonly view?: string | undefined };
  readonly keep: BenchPort['keep'];
  /** LC_ALL, LC_CTYPE, LANG, TERM, NO_COLOR, COLORFGBG. */
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly clock: { readonly wall: () => number; readonly offset: (ms: number) => number };
  readonly terminal: TerminalParts;
}

const second = 1000;
const minute = 60_000;

const viewOf = (kept: string | undefined): View => (kept === 'bench' || kept === 'desk' ? kept : 'by size');

/** Ticks once a second while a clock shows seconds, else at each full minute. `look` checks again which of both; `stop` ends it. */
const ticking = (
  bench: Bench,
  timers: Timers,
  now: () => Now,
): { readonly look: () => void; readonly stop: () => void } => {
  let cancel: (() => void) | undefined;
  let every = 0;
  const wait = (): void => {
    every = bench.frame().seconds ? second : minute;
    cancel = timers.after(every - (now().ms % every), () => {
      bench.tick();
      wait();
    });
  };
  wait();
  return {
    /** A key may have brought a clock with seconds onto the screen. */
    look: () => {
      if ((bench.frame().seconds ? second : minute) === every) return;
      cancel?.();
      wait();
    },
    stop: () => cancel?.(),
  };
};

/** Connects the bench to a terminal: keys in, frames to the drawing library. Resolves when the terminal is restored. */
const onTerminal = (bench: Bench, terminal: Terminal, timers: Timers, now: () => Now, marks: Marks): Promise<void> =>
  new Promise((resolve) => {
    // A pot life that ended before the bench was opened rings at once. Nothing is drawn yet, so this makes no second frame.
    bench.tick();
    const ink = render(<App bench={bench} size={terminal.size} marks={marks} />, terminal.renderOptions);
    const ticks = ticking(bench, timers, now);
    const bursts = burstReader({
      takesText: bench.takesText,
      press: ({ key, burst }) => {
        bench.press(key, burst);
        ticks.look();
      },
      timers,
    });
    terminal.onKey(bursts.push);
    terminal.onResize(() => bench.resized());
    terminal.onLeave(() => {
      bursts.stop();
      ticks.stop();
      ink.unmount();
      resolve();
    });
  });

/**
 * Opens the bench. Resolves when it was left and the terminal is restored. The caller has made sure that there is a terminal
 * (`isInteractive`), and has set FORCE_COLOR to what `forcedColour` says before this file was loaded.
 */
export const openBench = (options: BenchOptions): Promise<void> => {
  const { workshop, clock, env } = options;
  const now = (): Now => {
    const ms = clock.wall();
    return { ms, offset: clock.offset(ms) };
  };
  const closed = workshop.closed();
  const { entries, pages } = workshop.state();
  const unplanned =
    entries === 0
      ? []
      : newPages(
          workshop.place,
          pages.map(({ procedure }) => procedure),
        );
  const notices = [
    ...workshop.notices().map(noticeLine),
    ...(unplanned.length === 0
      ? []
      : [`new in the procedures folder: ${unplanned.join(', ')}; the next start takes it into the plan`]),
    ...(closed ? [`${closed.what}; ${closed.todo}`] : []),
  ];
  const marks = marksFor(env);
  const { timers } = options.terminal;
  const terminal = openTerminal(options.terminal);
  const bench = runBench({
    port: workshopPort({
      workshop,
      keep: options.keep,
      ...(options.keyFile === undefined ? {} : { keyFile: options.keyFile }),
    }),
    session: newSession(
      options.by,
      viewOf(options.settings.view),
      themeFor(env, options.settings.theme),
      notices,
      options.settings.theme === undefined && !env['NO_COLOR'],
    ),
    ...(options.job === undefined ? {} : { job: options.job }),
    size: terminal.size,
    now,
    monotonic: timers.now,
    marks,
    bell: terminal.bell,
    leave: terminal.leave,
  });
  // A signal may end the program: the state is closed properly before that.
  terminal.onLeave(() => workshop.close());
  return onTerminal(bench, terminal, timers, now, marks);
};
