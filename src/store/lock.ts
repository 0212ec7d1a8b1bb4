import { join } from 'node:path';
import { err, ok, refusal, type Outcome } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk } from './disk.ts';
import { notice, onDisk, type Notice } from './disk-fault.ts';
import type { Processes } from './processes.ts';

/*
 * On one machine, one process at a time writes in a state. A process that wants to write creates a claim in the folder of the
 * lock: an empty file named after the process, by its number and the moment it started. Then it looks for other claims. Of two
 * processes that come at the same time, at least the later one sees the other's claim, and whoever sees a claim of a living
 * process withdraws its own. So two processes never hold the lock.
 * The claim of a dead process can be removed by anyone, because no later process ever has the same name. A second file, `.held`,
 * marks a process that has the lock: the others give up at once. Where there are only claims, both try again.
 */

export interface Lock {
  /** Reports locks that dead processes had left behind. */
  readonly notices: readonly Notice[];
  release(): void;
}

/** Where the lock of a state is, and how to ask which processes are alive. */
export interface LockPlace {
  readonly disk: Disk;
  readonly cache: string;
  /** The real path of the state folder, so that one folder has one lock under all its names. */
  readonly realState: string;
  readonly processes: Processes;
}

const claimEnd = '.claim';
const heldEnd = '.held';
const claimForm = /^\d+-[A-Za-z0-9-]+\.claim$/;

/** How often a process tries again when another came at the same time. */
const tries = 8;

const lockFolder = ({ cache, realState }: LockPlace): string => join(cache, 'locks', sha256Hex(realState).slice(0, 32));

const claimants = (disk: Disk, folder: string): readonly string[] =>
  disk
    .list(folder)
    .filter((name) => claimForm.test(name))
    .map((name) => name.slice(0, -claimEnd.length));

const put = (disk: Disk, path: string): void => disk.close(disk.open(path, 'fresh', 0o600));

const drop = (disk: Disk, folder: string, process: string): void => {
  disk.remove(join(folder, process + heldEnd));
  disk.remove(join(folder, process + claimEnd));
};

/**
 * A few milliseconds, differing from process to process and from round to round, so that two processes do not keep withdrawing at
 * the same moment.
 */
const pause = (pid: string, round: number): void => {
  const milliseconds = 2 + ((Number.parseInt(pid, 10) * (round + 1)) % 17);
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, milliseconds);
};

type Claim = { readonly kind: 'mine' } | { readonly kind: 'held' | 'asked'; readonly by: string };

/** Creates the claim, looks for others, and removes those of dead processes. Withdraws the claim where another process is alive. */
const claim = ({ disk, processes }: LockPlace, folder: string, me: string, dead: Set<string>): Claim => {
  // no other process has our name, so an existing claim means that this very process has the state open
  if (disk.look(join(folder, me + claimEnd)) !== undefined) return { kind: 'held', by: me };
  put(disk, join(folder, me + claimEnd));
  for (const other of claimants(disk, folder)) {
    if (other === me) continue;
    if (processes.isAlive(other)) {
      drop(disk, folder, me);
      return { kind: disk.look(join(folder, other + heldEnd)) === undefined ? 'asked' : 'held', by: other };
    }
    dead.add(other);
    drop(disk, folder, other);
  }
  put(disk, join(folder, me + heldEnd));
  return { kind: 'mine' };
};

const taken = (by: string): Outcome<never> =>
  err(
    refusal(
      'read-only',
      `another dryfit, process ${Number.parseInt(by, 10)}, has this state open and writes in it`,
      'Close that one, or look here without writing',
    ),
  );

/**
 * Takes the lock of a state. Codes: `read-only` where another living process of this machine holds it, which it names; `disk-…`
 * where the cache folder cannot be written.
 */
export const takeLock = (place: LockPlace): Outcome<Lock> => {
  const { disk, processes } = place;
  const folder = lockFolder(place);
  const me = processes.me();
  const dead = new Set<string>();
  const looked = onDisk(folder, () => {
    disk.makeFolder(folder, 0o700);
    let look = claim(place, folder, me, dead);
    for (let round = 0; look.kind === 'asked' && round < tries; round += 1) {
      pause(me, round);
      look = claim(place, folder, me, dead);
    }
    return look;
  });
  if (!looked.ok) return looked;
  if (looked.value.kind !== 'mine') return taken(looked.value.by);
  const notices = [...dead].map((name) =>
    notice('lock-left', `process ${Number.parseInt(name, 10)} ended without closing this state`),
  );
  return ok({ notices, release: () => void onDisk(folder, () => drop(disk, folder, me)) });
};

/** Which processes have claims on a state, without claiming it. */
export const lookAtLock = (place: LockPlace): Outcome<{ readonly holder?: string; readonly left: readonly string[] }> =>
  onDisk(lockFolder(place), () => {
    const names = claimants(place.disk, lockFolder(place));
    const living = names.filter((name) => place.processes.isAlive(name));
    const left = names.filter((name) => !living.includes(name));
    return living[0] === undefined ? { left } : { left, holder: living[0] };
  });
