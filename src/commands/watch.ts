import { statusNow } from '../aircraft/status-now.ts';
import { parseInstant } from '../quantity/time.ts';
import { printDuration } from '../quantity/time.ts';
import { withState } from './open.ts';
import type { Call } from './spec.ts';

/** A pot life that runs. `leftMs` is below zero once it is over. */
interface Life {
  readonly job: string;
  readonly batch: string;
  readonly leftMs: number;
}

const second = 1000;
const minute = 60_000;

/** For how long (ms) the end of a pot life is repeated. */
const heard = minute;

const livesIn = async (call: Call, into: (lives: readonly Life[]) => void): Promise<number> =>
  withState(call, 'read', ({ workshop, place }) => {
    const at = place.wall();
    into(
      statusNow(workshop.state(), at).jobs.flatMap(({ id, potLife }) => {
        const ends = potLife && parseInstant(potLife.ends);
        return potLife && ends?.ok === true ? [{ job: id, batch: potLife.batch, leftMs: ends.value.ms - at }] : [];
      }),
    );
    return 0;
  });

/** It is printed every minute; in the last minute and after the end every ten seconds. */
const stepOf = (leftMs: number): number => (leftMs > minute ? minute : 10 * second);

const lineOf = ({ job, batch, leftMs }: Life): string =>
  leftMs < 0
    ? `STOP pot life of ${batch} is over: discard it, or depart from it (${job})`
    : `pot life of ${batch}: ${printDuration(Math.floor(leftMs / second) * second)} left (${job})`;

const tell = (call: Call, lives: readonly Life[]): void => {
  call.print.lines(...lives.map(lineOf));
  // Nobody would hear a bell in a pipe.
  if (call.host.streams.stdout.isTTY === true && lives.some(({ leftMs }) => leftMs < 0))
    call.host.streams.stdout.write('\u0007');
};

const pause = (call: Call, ms: number): Promise<void> =>
  new Promise((resolve) => void call.host.clock.after(ms, resolve));

/** Milliseconds until the next line is due. */
const untilNext = (lives: readonly Life[]): number =>
  Math.min(
    ...lives.map(({ leftMs }) => {
      if (leftMs < 0) return 10 * second;
      const rest = leftMs % stepOf(leftMs);
      return Math.max(second, rest === 0 ? stepOf(leftMs) : rest + 1);
    }),
  );

/**
 * Prints each pot life that runs line by line, without moving the cursor. Its end is printed with a bell, and repeated every ten seconds
 * for a minute. It ends when no pot life runs any more. The journal is read anew each time, since the glue may be discarded meanwhile.
 */
export const watchPotLives = async (call: Call): Promise<number> => {
  for (;;) {
    let lives: readonly Life[] = [];
    const code = await livesIn(call, (found) => {
      lives = found.filter(({ leftMs }) => leftMs > -heard);
    });
    if (code !== 0) return code;
    if (lives.length === 0) {
      call.print.lines('no pot life runs');
      return 0;
    }
    tell(call, lives);
    await pause(call, untilNext(lives));
  }
};
