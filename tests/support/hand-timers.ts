import type { Timers } from '../../src/terminal/timers.ts';

export interface HandTimers extends Timers {
  /** Lets time pass (`ms` milliseconds) and runs what is due, in order; where `turns` is given, at most that many acts. */
  readonly pass: (ms: number, limit?: { readonly turns: number }) => void;
}

/** A clock that a test moves by hand. */
export const handTimers = (): HandTimers => {
  let now = 0;
  let waiting: { readonly at: number; readonly act: () => void }[] = [];
  return {
    now: () => now,
    after: (ms, act) => {
      const entry = { at: now + ms, act };
      waiting.push(entry);
      return () => {
        waiting = waiting.filter((other) => other !== entry);
      };
    },
    pass: (ms, { turns } = { turns: Infinity }) => {
      const end = now + ms;
      for (let turn = 0; turn < turns; turn++) {
        const due = waiting.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];
        if (due === undefined) break;
        waiting = waiting.filter((other) => other !== due);
        now = Math.max(now, due.at);
        due.act();
      }
      now = end;
    },
  };
};
