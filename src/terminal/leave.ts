/** The POSIX signals that end a program. */
const deadly = ['SIGINT', 'SIGTERM', 'SIGHUP', 'SIGQUIT'] as const;
/** The events of a process that is ended, stopped or continued. */
type Event = (typeof deadly)[number] | 'SIGTSTP' | 'SIGCONT' | 'exit' | 'uncaughtExceptionMonitor';

/** The part of node's `process` that is needed here; it is passed in. */
export interface Life {
  readonly on: (event: Event, act: () => void) => unknown;
  readonly off: (event: Event, act: () => void) => unknown;
  readonly kill: (pid: number, signal: NodeJS.Signals) => unknown;
  readonly pid: number;
}

/**
 * Alternate screen (1049), cursor hidden (25), no wrapping (7), pastes marked (2004).
 * Leaving resets all of these, and ends a synchronized update (2026) that a signal may have interrupted.
 */
export const enterScreen = '\u001b[?1049h\u001b[?25l\u001b[?7l\u001b[?2004h';
export const leaveScreen = '\u001b[?2026l\u001b[0m\u001b[?2004l\u001b[?7h\u001b[?25h\u001b[?1049l';

export interface Ways {
  /** Gives the terminal back for good. It must work at once (no promise), must not throw, and may be called more than once. */
  readonly leave: () => void;
  /** Gives the terminal back for a while. */
  readonly pause: () => void;
  /** Takes the terminal again after a pause, or after another program has changed its settings. */
  readonly comeBack: () => void;
  /** Whether dryfit has the terminal now. */
  readonly inside: () => boolean;
}

export interface Guard {
  /** Stops the program as Ctrl-Z does elsewhere, and takes the terminal again when the program is continued. */
  readonly suspend: () => void;
  /** Leaves, and ends with the signal for a lost terminal, whether or not that signal has come. */
  readonly hangUp: () => void;
  /** Stops listening to all events. */
  readonly release: () => void;
}

/**
 * Makes sure that the terminal is given back however the program ends. After a deadly signal the program ends with that same
 * signal, as its parent expects. `exit` would be wrong then, because node aborts when its terminal is gone. An uncaught error is
 * left to node, which prints it after the terminal was given back.
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
    unhear('SIGTSTP'); // without a listener the signal stops the process
    try {
      // To the whole process group, so that the shell notices even where it started dryfit through another program.
      life.kill(0, 'SIGTSTP');
    } catch {
      // The system cannot stop a program: we continue below.
    }
    // Where nobody could continue the program, the system ignores the signal; then we take the terminal back as well.
    after(0, () => {
      if (heard.length === 0) return;
      hear('SIGTSTP', suspend);
      if (!ways.inside()) ways.comeBack();
    });
  };
  const die = (signal: (typeof deadly)[number]): void => {
    // Before the listeners are removed, because a terminal that goes away may send a second signal meanwhile.
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
