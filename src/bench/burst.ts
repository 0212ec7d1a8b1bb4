import type { Key } from '../terminal/keys.ts';
import type { Timers } from '../terminal/timers.ts';

/** So many printable characters, none more than `withinMs` after the one before, are a burst: a scanner or a paste, and no person. */
const fewest = 4;
const withinMs = 30;

/** A key as the bench gets it. `burst`: it came with a burst of text, so no finger pressed it. */
export interface Arrived {
  readonly key: Key;
  readonly burst: boolean;
}

interface BurstParts {
  /** Whether this character goes into a field that is open now, where it is text however it comes. */
  readonly takesText: (text: string) => boolean;
  readonly press: (arrived: Arrived) => void;
  readonly timers: Timers;
}

export interface BurstReader {
  readonly push: (key: Key) => void;
  readonly stop: () => void;
}

/**
 * Tells text that a machine sends from keys that a person presses. In an open field a character is typed at once. Elsewhere it would act, so
 * it waits until it is known whether others follow: a burst comes on whole as one text, which acts nowhere; fewer come on as keys.
 */
export const burstReader = ({ takesText, press, timers }: BurstParts): BurstReader => {
  let held: Extract<Key, { kind: 'char' }>[] = [];
  let run = 0;
  let last = -Infinity;
  /** Whether all input since the last pause is known to be a machine's. */
  let machine = false;
  let cancel = (): void => {};

  const release = (): void => {
    cancel();
    const waiting = held;
    held = [];
    if (waiting.length > 0 && machine)
      press({ key: { kind: 'paste', text: waiting.map(({ text }) => text).join('') }, burst: true });
    else for (const key of waiting) press({ key, burst: false });
  };
  const hold = (key: Extract<Key, { kind: 'char' }>): void => {
    cancel();
    held = [...held, key];
    cancel = timers.after(withinMs, release);
  };
  return {
    push: (key) => {
      const now = timers.now();
      if (now - last > withinMs) {
        run = 0;
        machine = false;
      }
      last = now;
      if (key.kind === 'char') {
        run += 1;
        if (run >= fewest) machine = true;
        if (held.length > 0 || !takesText(key.text)) hold(key);
        else press({ key, burst: machine });
        return;
      }
      release();
      if (key.kind === 'paste') machine = true;
      press({ key, burst: machine });
    },
    stop: () => {
      cancel();
      held = [];
    },
  };
};
