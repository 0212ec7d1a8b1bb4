import type { Progress, Work } from '../workshop/place.ts';
import type { Call } from './spec.ts';

/** Ms before anything is shown, and between two showings. */
const quiet = 1000;
const pause = 100;

interface Words {
  readonly doing: string;
  /** What is counted, where the words before it do not say. */
  readonly unit?: string;
  /** True for work that prints a line of its own for each thing done. */
  readonly prints?: true;
}

const words: Readonly<Record<Work, Words>> = {
  procedures: { doing: 'Reading procedures' },
  journal: { doing: 'Reading the journal', unit: ' kB' },
  entries: { doing: 'Checking entries' },
  files: { doing: 'Checking files' },
  records: { doing: 'Writing records' },
  'records-checked': { doing: 'Checking records' },
  script: { doing: 'Rehearsing entries', prints: true },
};

const count = (number: number): string => number.toLocaleString('en-GB');

/** Goes back to the beginning of the line and clears it: carriage return, and erase in line (ECMA-48, 8.3.41). */
const cleared = '\r\u001b[K';

/**
 * One line on stderr, rewritten in place, for work that takes more than a second; it is gone when the work is done. Nothing is written where
 * stderr is not a terminal, or with `--json`, so that none of it reaches a file or another program. Nor while the bench has the terminal,
 * which it reads key by key (raw), nor beside lines that the same work prints on the same terminal.
 */
export const progressOn = ({ host: { streams, clock }, flag }: Pick<Call, 'host' | 'flag'>) => {
  const { stdin, stdout, stderr } = streams;
  const isShown = (work: Work): boolean =>
    !flag('json') && stderr.isTTY === true && stdin.isRaw !== true && !(words[work].prints && stdout.isTTY === true);
  return (work: Work): Progress => {
    if (!isShown(work)) return () => {};
    const { doing, unit = '' } = words[work];
    let begun: number | undefined;
    let shown: number | undefined;
    return (done, of) => {
      const now = clock.monotonic();
      begun ??= now;
      if (done >= of) {
        if (shown !== undefined) stderr.write(cleared);
        begun = shown = undefined;
      } else if (now - begun >= quiet && (shown === undefined || now - shown >= pause)) {
        shown = now;
        stderr.write(`${cleared}${doing}: ${count(done)} of ${count(of)}${unit}`);
      }
    };
  };
};
