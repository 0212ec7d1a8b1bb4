import { join } from 'node:path';
import { err, ok, refusal, type Outcome } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk } from './disk.ts';
import { notice, onDisk, type Notice } from './disk-fault.ts';
import type { Processes } from './processes.ts';

/*
 * One process writes in a state at a time on one machine. Each who wants to puts a claim into the lock's folder: an empty
 * file whose name is the process, its number and the moment of its birth. Then it looks who else has one. Of two that
 * come at once, at least the later sees the claim of the other; whoever sees a living other steps back. So two never
 * hold the lock, and nothing has to be taken from anyone: a claim whose process is dead is dead for ever, since that
 * name never comes back, and whoever finds it removes it. A second file, `.held`, tells one who holds from one who only
 * asks, so that a holder is believed at once and two askers try again.
 */

export interface Lock {
  /** A lock that a dead process had left behind. */
  readonly notices: readonly Notice[];
  release(): void;
}

/** Where the lock of a state lies, and how to ask who lives. */
export interface LockPlace {
  readonly disk: Disk;
  readonly cache: string;
  /** The one true path of the state folder, so that two names of it have one lock. */
  readonly realState: string;
  readonly processes: Processes;
}

const claimEnd = '.claim';
const heldEnd = '.held';
const claimForm = /^\d+-[A-Za-z0-9-]+\.claim$/;

/** How often two who come at once try again. */
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

/** A few milliseconds, other ones for each process, so that two do not step back in time with each other for ever. */
const pause = (pid: string, round: number): void => {
  const milliseconds = 2 + ((Number.parseInt(pid, 10) * (round + 1)) % 17);
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, milliseconds);
};

type Claim = { readonly kind: 'mine' } | { readonly kind: 'held' | 'asked'; readonly by: string };

/** Puts the claim, looks who else has one, clears away the dead; takes the claim back where another lives. */
const claim = ({ disk, processes }: LockPlace, folder: string, me: string, dead: Set<string>): Claim => {
  // nobody else ever has our name: where it stands already, this very process has the state open
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
 * Takes the lock of a state. Code `read-only` where another living process of this machine holds it, which it names;
 * codes `disk-…` where the cache folder cannot be written.
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

/** Who has claims on a state, living and dead, without asking for one. */
export const lookAtLock = (place: LockPlace): Outcome<{ readonly holder?: string; readonly left: readonly string[] }> =>
  onDisk(lockFolder(place), () => {
    const names = claimants(place.disk, lockFolder(place));
    const living = names.filter((name) => place.processes.isAlive(name));
    const left = names.filter((name) => !living.includes(name));
    return living[0] === undefined ? { left } : { left, holder: living[0] };
  });
