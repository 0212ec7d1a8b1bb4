import { err, ok, refusalNamed, usage, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../disk.ts';
import { recallConfirmed, rememberConfirmed } from './confirmed.ts';
import type { Brought } from './findings.ts';

/** Where confirmations are kept, and the names that this call confirms. */
interface Admission {
  readonly disk: Disk;
  readonly config: string;
  readonly confirms: readonly string[];
}

const longest = 120;

const shown = ({ name, value, danger }: Brought): string => {
  const cut = value.length > longest ? `${value.slice(0, longest)}…` : value;
  return `${name}: ${danger}${cut === '' ? '' : ` (${cut})`}`;
};

const asWord = (name: string): string => (/^[\w./:+@-]+$/.test(name) ? name : `'${name.replaceAll("'", `'\\''`)}'`);

const same = (one: string, other: string): boolean => one.toLowerCase() === other.toLowerCase();

/**
 * Lets a repository pass whose findings are all confirmed, now or before. Gives those that this call confirms; nothing is remembered yet,
 * because another name of the call may be wrong. Code `git-settings` (refused: what is not confirmed, by name).
 */
export const admit = (
  { disk, config, confirms }: Admission,
  gitDir: string,
  findings: readonly Brought[],
): Outcome<readonly Brought[]> => {
  const confirmed = recallConfirmed(disk, config, gitDir);
  const isKnown = ({ name, sha256 }: Brought): boolean => Object.hasOwn(confirmed, name) && confirmed[name] === sha256;
  const now = findings.filter((one) => !isKnown(one) && confirms.some((name) => same(name, one.name)));
  const open = findings.filter((one) => !isKnown(one) && !now.includes(one));
  if (open.length > 0) {
    const names = open.map(({ name }) => name);
    const words = [...now, ...open].map(({ name }) => `--confirm ${asWord(name)}`).join(' ');
    return err({
      ...refusalNamed(
        'git-settings',
        `the git repository of this state may run programs or reach elsewhere by what it brings itself: ${names.join(', ')}`,
        `Nothing of it was run, and nothing was shared. Look at each: keep it in your own settings (git config --global) and remove it here, or, if you have put it here yourself, confirm it once: dryfit sync ${words}`,
        gitDir,
      ),
      items: open.map(shown),
    });
  }
  return ok(now);
};

/** Remembers what a call confirmed. Codes `disk-…`. */
export const rememberAdmitted = (
  { disk, config }: Admission,
  gitDir: string,
  admitted: readonly Brought[],
): Outcome<void> => {
  if (admitted.length === 0) return ok(undefined);
  const confirmed = recallConfirmed(disk, config, gitDir);
  const now = Object.fromEntries(admitted.map(({ name, sha256 }) => [name, sha256]));
  return rememberConfirmed(disk, config, gitDir, { ...confirmed, ...now });
};

/** The fault where a call confirms a name that the repository does not bring. Code `confirm-unknown`. */
export const unknownConfirm = (confirms: readonly string[], findings: readonly Brought[]): Outcome<true> => {
  const odd = confirms.find((name) => !findings.some((one) => same(one.name, name)));
  return odd === undefined
    ? ok(true)
    : err(
        usage(
          'confirm-unknown',
          `this repository does not bring "${odd}"`,
          'Leave out --confirm, and look at what sync names',
        ),
      );
};
