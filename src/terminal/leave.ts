/** The signals that end a program, in the words of POSIX. */
const deadly = ['SIGINT', 'SIGTERM', 'SIGHUP', 'SIGQUIT'] as const;
/** What a program hears of its own end and of being stopped. */
type Event = (typeof deadly)[number] | 'SIGTSTP' | 'SIGCONT' | 'exit' | 'uncaughtExceptionMonitor';

/** The part of node's `process` that is needed; handed in. */
export interface Life {
  readonly on: (event: Event, act: () => void) => unknown;
  readonly off: (event: Event, act: () => void) => unknown;
  readonly kill: (pid: number, signal: NodeJS.Signals) => unknown;
  readonly pid: number;
}

/**
 * Alternate screen (1049), cursor hidden (25), no wrapping (7), pastes marked (2004).
 * Leaving takes all of it back, and ends a synchronized update (2026) that a signal may have cut in two.
 */
export const enterScreen = '\u001b[?1049h\u001b[?25l\u001b[?7l\u001b[?2004h';
export const leaveScreen = '\u001b[?2026l\u001b[0m\u001b[?2004l\u001b[?7h\u001b[?25h\u001b[?1049l';

export interface Ways {
  /** Gives the terminal back for good. Must be at once (no promise), must not throw, and may come more than once. */
  readonly leave: () => void;
  /** Gives it back for a while. */
  readonly pause: () => void;
  /** Takes it again after a pause; also where the terminal was changed without our knowing. */
  readonly comeBack: () => void;
  /** Whether the terminal is ours now. */
  readonly inside: () => boolean;
}

export interface Guard {
  /** Stops the program as Ctrl-Z does everywhere else, and comes back when it is continued. */
  readonly suspend: () => void;
  /** The terminal is gone, whether the signal for it has come or not: leaves, and dies of it. */
  readonly hangUp: () => void;
  /** No longer listens to anything. */
  readonly release: () => void;
}

/**
 * Sees to it that the terminal is given back on every way out. After a deadly signal the program dies of that very signal, as its parent
 * expects; `exit` would be wrong there, since node aborts when its terminal is gone. What was thrown and not caught is left to node, which
 * prints it after the terminal is itself again.
 */
export const guardLeaving = (life: Life, ways: Ways, after: (ms: number, act: () => void) => unknown): Guard => {
  let heard: (readonly [Event, () => void])[] = [];
  const hear = (event: Event, act: () => void): void => {
    heard.push([event, act]);
    life.on(event, act);
  };
  const unhear = (gone: Event): void => {
    for (const [event, act] of heard) if (event === gone) life.off(event, act);
    heard = heard.filter(([event]) => event !== gone);
  };
  const release = (): void => {
    for (const [event] of heard) unhear(event);
  };
  const suspend = (): void => {
    if (!ways.inside()) return;
    ways.pause();
    unhear('SIGTSTP'); // so that it does what it does by itself
    try {
      // The whole process group, so that the shell notices, also when it started us through something else.
      life.kill(0, 'SIGTSTP');
    } catch {
      // A system that cannot stop a program: we are back below.
    }
    // Where nobody could continue us, the system passes the signal over; here we are back as well.
    after(0, () => {
      if (heard.length === 0) return;
      hear('SIGTSTP', suspend);
      if (!ways.inside()) ways.comeBack();
    });
  };
  const die = (signal: (typeof deadly)[number]): void => {
    // First of all, since a terminal that goes away may say so twice: the second signal must not find us without ears.
    ways.leave();
    release();
    life.kill(life.pid, signal);
  };
  for (const signal of deadly) hear(signal, () => die(signal));
  hear('exit', ways.leave);
  hear('uncaughtExceptionMonitor', ways.leave);
  hear('SIGTSTP', suspend);
  hear('SIGCONT', ways.comeBack);
  return { suspend, release, hangUp: () => die('SIGHUP') };
};
