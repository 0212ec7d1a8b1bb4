import type { Key } from '../terminal/keys.ts';
import type { Procedure } from '../procedure/model.ts';
import type { Marks } from './drawing/marks.ts';
import type { BenchPort, Now, Startable, BenchFacts } from './ports.ts';
import { openSession, reduce, type Event } from './session.ts';
import { takesText } from './session/open-field.ts';
import { withTextRead } from './session/hold-read.ts';
import { replaceTop, topPage, type Effect, type Session } from './session/state.ts';
import type { Frame, Size } from './view/frame.ts';
import { screenOf } from './view/screen.ts';

/** What the bench needs besides the port: clocks, the size of the terminal, and effects that it cannot cause itself. */
export interface BenchParts {
  readonly port: BenchPort;
  readonly session: Session;
  /** A job to open at once. */
  readonly job?: string;
  readonly size: () => Size;
  readonly now: () => Now;
  /** Milliseconds of a clock that never goes back. */
  readonly monotonic: () => number;
  readonly marks: Marks;
  readonly bell: () => void;
  readonly leave: () => void;
}

/** So long after the last change of the size, it may still be changing. In ms. */
const settlesAfter = 250;

export interface Bench {
  /** `burst`: the key came with text that a machine sent. */
  readonly press: (key: Key, burst?: boolean) => void;
  /** Whether this character goes into an open field now. */
  readonly takesText: (text: string) => boolean;
  readonly tick: () => void;
  /** Something outside changed: the next frame is made anew. */
  readonly changed: () => void;
  /** The size changed. */
  readonly resized: () => void;
  readonly frame: () => Frame;
  readonly session: () => Session;
  /** Calls `act` after every change; returns how to stop that. */
  readonly subscribe: (act: () => void) => () => void;
}

/**
 * The bench without a terminal: keys and ticks in, frames out. Every act is handed to the port and answered before the next key is
 * handled, so that whatever is shown as saved is on the disk.
 */
export const runBench = (parts: BenchParts): Bench => {
  const { port, marks } = parts;
  const listeners = new Set<() => void>();
  let procedures: readonly Startable[] | undefined;
  let answering: readonly Procedure[] | undefined;
  /** Procedure files are read only when a screen lists them, so that opening the bench need not wait for them. */
  const facts = ({ by }: Session): BenchFacts => ({
    build: port.build(),
    get procedures() {
      return (procedures ??= port.procedures());
    },
    get answering() {
      return (answering ??= port.answering());
    },
    get keys() {
      return port.keys();
    },
    now: parts.now(),
    ...(by === undefined ? {} : { by }),
  });
  let session = openSession(parts.session, facts(parts.session), parts.job);
  let drawn: Frame | undefined;
  let resizedAt = -Infinity;

  const carryOut = (effect: Effect): void => {
    switch (effect.kind) {
      case 'submit': {
        const answer = port.submit(effect.act, effect.secrets, session.by);
        step({ kind: 'answer', act: effect.act, answer, ms: parts.monotonic() });
        return;
      }
      case 'introduce':
        step({ kind: 'introduced', answer: port.introduce(effect.newcomer), ms: parts.monotonic() });
        return;
      case 'keep':
        port.keep(effect.setting, effect.value);
        return;
      case 'bell':
        parts.bell();
        return;
      case 'leave':
        parts.leave();
    }
  };
  const step = (event: Event): void => {
    const next = reduce(session, event, facts(session));
    session = next.session;
    for (const effect of next.effects) carryOut(effect);
    const page = topPage(session)?.page;
    // The next time the list is opened, it shows the folder as it is then.
    if (page !== 'procedures' && page !== 'start') procedures = undefined;
    if (page !== 'jobs') answering = undefined;
  };
  /** The scroll of the page is kept within its text, so that one key up moves the text at once. */
  const frame = (): Frame => {
    if (drawn) return drawn;
    const known = facts(session);
    drawn = screenOf(session, known, parts.size(), marks);
    const page = topPage(session);
    if (page && page.scroll !== drawn.scroll) session = replaceTop(session, { ...page, scroll: drawn.scroll });
    session = withTextRead(session, known, !drawn.more);
    return drawn;
  };
  const changed = (): void => {
    drawn = undefined;
    for (const act of listeners) act();
  };
  return {
    press: (key, burst = false) => {
      const ms = parts.monotonic();
      // Laying the page out keeps its scroll within the text before a key moves it, and says what was to be seen.
      const shown = { isSmall: frame().kind === 'small', isMoving: ms - resizedAt < settlesAfter };
      step({ kind: 'key', key, burst, shown, ms });
      changed();
    },
    takesText: (text) => takesText(session, facts(session), text),
    tick: () => {
      step({ kind: 'tick', ms: parts.monotonic() });
      changed();
    },
    changed,
    resized: () => {
      resizedAt = parts.monotonic();
      step({ kind: 'resized' });
      changed();
    },
    frame,
    session: () => session,
    subscribe: (act) => {
      listeners.add(act);
      return () => listeners.delete(act);
    },
  };
};
