import { join } from 'node:path';
import { err, ok, refusal, type Outcome } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk } from './disk.ts';
import { notice, onDisk, type Notice } from './disk-fault.ts';
import type { Fate, Processes } from './processes.ts';

/*
 * On one machine, one process at a time writes in a state. A process that wants to write creates a claim in the folder of the
 * lock: an empty file named after the process, by its number and the moment it started. Then it looks for other claims. Of two
 * processes that come at the same time, at least the later one sees the other's claim, and whoever sees a claim of a living
 * process withdraws its own. So two processes never hold the lock.
 * The claim of a dead process can be removed by anyone, because no later process ever has the same name. A second file, `.held`,
 * marks a process that has the lock: the others give up at once. Where there are only claims, both try again.
 *
 * The folder is in the cache. Where that is full or cannot be written, it is in the configuration folder: every process claims in
 * the first of the two that takes its claim, and looks in both. Where neither takes it, the process has no lock, and writes under a
 * writer's name of its own, which no other process has.
 */

export interface Lock {
  /** Reports locks that dead processes had left behind, and a lock that could not be kept anywhere. */
  readonly notices: readonly Notice[];
  /** False where no folder took the claim. Others may then write at the same time, each in a file of its own. */
  readonly isKept: boolean;
  release(): void;
}

/** Where the lock of a state is, and how to ask which processes are alive. */
export interface LockPlace {
  readonly disk: Disk;
  readonly cache: string;
  readonly config: string;
  /** The real path of the state folder, so that one folder has one lock under all its names. */
  readonly realState: string;
  readonly processes: Processes;
}

const claimEnd = '.claim';
const heldEnd = '.held';
const claimForm = /^\d+-[A-Za-z0-9-]+\.claim$/;

/** How often a process tries again when another came at the same time. */
const tries = 8;

const lockFolders = ({ cache, config, realState }: LockPlace): readonly string[] =>
  [cache, config].map((folder) => join(folder, 'locks', sha256Hex(realState).slice(0, 32)));

/** What the disk gives, or `otherwise` where it fails: a folder that cannot be read or written holds no claim that could be changed. */
const tried = <T>(folder: string, work: () => T, otherwise: T): T => {
  const done = onDisk(folder, work);
  return done.ok ? done.value : otherwise;
};

const claimants = (disk: Disk, folder: string): readonly string[] =>
  tried(folder, () => disk.list(folder), [])
    .filter((name) => claimForm.test(name))
    .map((name) => name.slice(0, -claimEnd.length));

const put = (disk: Disk, path: string): void => disk.close(disk.open(path, 'fresh', 0o600));

const drop = (disk: Disk, folder: string, process: string): void => {
  for (const end of [heldEnd, claimEnd]) tried(folder, () => disk.remove(join(folder, process + end)), undefined);
};

const isThere = (disk: Disk, path: string): boolean => tried(path, () => disk.look(path) !== undefined, false);

/**
 * A few milliseconds, differing from process to process and from round to round, so that two processes do not keep withdrawing at
 * the same moment.
 */
const pause = (pid: string, round: number): void => {
  const milliseconds = 2 + ((Number.parseInt(pid, 10) * (round + 1)) % 17);
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, milliseconds);
};

/** Another process that claims the state. */
interface Other {
  readonly name: string;
  readonly fate: Fate;
  readonly folder: string;
}

type Claim =
  | { readonly kind: 'mine'; readonly folder: string | undefined }
  | { readonly kind: 'held' | 'asked'; readonly by: Other };

/** Claims in the first folder that takes it. */
const putClaim = (disk: Disk, folders: readonly string[], me: string): string | undefined =>
  folders.find((folder) =>
    tried(
      folder,
      () => {
        disk.makeFolder(folder, 0o700);
        put(disk, join(folder, me + claimEnd));
        return true;
      },
      false,
    ),
  );

/** Creates the claim, looks for others, and removes those of dead processes. Withdraws the claim where another process is alive. */
const claim = (place: LockPlace, me: string, dead: Set<string>): Claim => {
  const { disk, processes } = place;
  const folders = lockFolders(place);
  // no other process has our name, so an existing claim means that this very process has the state open
  const own = folders.find((folder) => isThere(disk, join(folder, me + claimEnd)));
  if (own !== undefined) return { kind: 'held', by: { name: me, fate: 'alive', folder: own } };
  const mine = putClaim(disk, folders, me);
  for (const folder of folders)
    for (const name of claimants(disk, folder)) {
      if (name === me) continue;
      const fate = processes.fate(name);
      if (fate !== 'dead') {
        if (mine !== undefined) drop(disk, mine, me);
        return { kind: isThere(disk, join(folder, name + heldEnd)) ? 'held' : 'asked', by: { name, fate, folder } };
      }
      dead.add(name);
      drop(disk, folder, name);
    }
  if (mine !== undefined) tried(mine, () => put(disk, join(mine, me + heldEnd)), undefined);
  return { kind: 'mine', folder: mine };
};

const taken = ({ name, fate, folder }: Other): Outcome<never> => {
  const pid = Number.parseInt(name, 10);
  return err(
    fate === 'elsewhere'
      ? refusal(
          'read-only',
          `a dryfit in another container or on another machine, process ${pid} there, may have this state open`,
          `Close that one, or look here without writing. If you are sure that none runs there, remove ${join(folder, name)}.*`,
        )
      : refusal(
          'read-only',
          `another dryfit, process ${pid}, has this state open and writes in it`,
          'Close that one, or look here without writing',
        ),
  );
};

/** Takes the lock of a state. Code `read-only` where another process holds it, or may hold it, which is named. */
export const takeLock = (place: LockPlace): Outcome<Lock> => {
  const { disk, processes } = place;
  const me = processes.me();
  const dead = new Set<string>();
  let look = claim(place, me, dead);
  for (let round = 0; look.kind === 'asked' && round < tries; round += 1) {
    pause(me, round);
    look = claim(place, me, dead);
  }
  if (look.kind !== 'mine') return taken(look.by);
  const { folder } = look;
  const notices = [...dead].map((name) =>
    notice('lock-left', `process ${Number.parseInt(name, 10)} ended without closing this state`),
  );
  if (folder === undefined)
    notices.push(
      notice('lock-none', 'neither the cache folder nor the configuration folder can be written', place.cache),
    );
  return ok({
    notices,
    isKept: folder !== undefined,
    release: () => {
      if (folder !== undefined) drop(disk, folder, me);
    },
  });
};

/** Which processes have claims on a state, without claiming it. */
export const lookAtLock = (place: LockPlace): { readonly holder?: string; readonly left: readonly string[] } => {
  const names = lockFolders(place).flatMap((folder) => claimants(place.disk, folder));
  const living = names.filter((name) => place.processes.fate(name) !== 'dead');
  const left = names.filter((name) => !living.includes(name));
  return living[0] === undefined ? { left } : { left, holder: living[0] };
};
