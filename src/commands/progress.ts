import type { Progress } from '../workshop/place.ts';
import type { Call } from './spec.ts';

/** Ms before anything is shown, and between two showings. */
const quiet = 1000;
const pause = 100;

/** What is said of a folder of procedures. */
export const readingProcedures = 'Reading procedures';

const count = (number: number): string => number.toLocaleString('en-GB');

/** Goes back to the beginning of the line and clears it: carriage return, and erase in line (ECMA-48, 8.3.41). */
const cleared = '\r\u001b[K';

/**
 * One line on stderr, rewritten in place, for work that takes more than a second; it is gone when the work is done. Nothing is written where stderr is not a
 * terminal, or with `--json`, so that none of it reaches a file or another program. Only for work before the bench draws its screen.
 */
export const progressOn = (
  { host: { streams, clock }, flag }: Pick<Call, 'host' | 'flag'>,
  doing: string,
): Progress => {
  if (flag('json') || streams.stderr.isTTY !== true) return () => {};
  let begun: number | undefined;
  let shown: number | undefined;
  return (done, of) => {
    const now = clock.monotonic();
    begun ??= now;
    if (done >= of) {
      if (shown !== undefined) streams.stderr.write(cleared);
      begun = shown = undefined;
    } else if (now - begun >= quiet && (shown === undefined || now - shown >= pause)) {
      shown = now;
      streams.stderr.write(`${cleared}${doing}: ${count(done)} of ${count(of)}`);
    }
  };
};
