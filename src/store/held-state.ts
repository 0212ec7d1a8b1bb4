import { resolve, sep } from 'node:path';
import { FaultError, type Fault } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { diskFault, onDisk } from './disk-fault.ts';
import { inState, stateFolders } from './layout.ts';

/*
 * A session may be open for hours, and the folder that it has read may be moved, unplugged, emptied or replaced meanwhile. What it
 * then wrote to the path would not be in the build. So a session holds the journal folder that it found: everything that it writes
 * in the state goes through a disk that first looks whether this very folder is still at the path. Nothing is ever made anew there.
 */

export interface HeldState {
  /** The same disk. Whatever changes something inside the state fails once the folder is another or is gone. */
  readonly disk: Disk;
  /** Why nothing may be written any more, or `undefined`. Once the folder was away it counts as away. */
  away(): Fault | undefined;
  release(): void;
}

const todo =
  'Put it back or plug it in, then close dryfit and open it again. This was not entered; what was shown as taken is in the folder that was opened';

const awayFault = (state: string, isThere: boolean): Fault =>
  diskFault(
    'state-away',
    isThere
      ? 'another folder is now in the place of the state folder that was opened'
      : 'the state folder is not there any more: it was moved, unplugged or emptied',
    todo,
    state,
  );

/**
 * Holds the state folder as it is now. Its journal folder must exist.
 * @param state an absolute path.
 */
export const holdState = (disk: Disk, state: string): HeldState => {
  const journal = inState(state, stateFolders.journal);
  const identityNow = (): string | undefined => {
    const facts = disk.look(journal);
    return facts?.kind === 'folder' ? facts.identity : undefined;
  };
  let away: Fault | undefined;
  const lookNow = (): string | undefined => {
    const identity = onDisk(state, identityNow);
    if (!identity.ok) away ??= identity.fault;
    return identity.ok ? identity.value : undefined;
  };
  const first = lookNow();
  // An open folder keeps its identity: some file systems give a folder a new one when it has not been used for a while.
  const pinned = onDisk(journal, () => disk.open(journal, 'read-linked'));
  const isAway = (): Fault | undefined => {
    if (away !== undefined) return away;
    const now = lookNow();
    if (now === undefined || now !== first) away ??= awayFault(state, now !== undefined);
    return away;
  };
  const mustBeHere = (): void => {
    const fault = isAway();
    if (fault !== undefined) throw new FaultError(fault);
  };

  const root = resolve(state);
  const isInside = (path: string): boolean => resolve(path) === root || resolve(path).startsWith(root + sep);

  /** Where the folder went away before the call, the system's own error would mislead. */
  const calling = <T>(path: string, call: () => T): T => {
    try {
      return call();
    } catch (error) {
      if (isInside(path)) mustBeHere();
      throw error;
    }
  };

  /** Changes something at a path. What a call made in another folder, because the folder went away at that moment, is undone. */
  const changing = <T>(path: string, call: () => T, undo: (made: T) => void = () => undefined): T => {
    if (!isInside(path)) return call();
    mustBeHere();
    const made = calling(path, call);
    const fault = isAway();
    if (fault === undefined) return made;
    onDisk(path, () => undo(made));
    throw new FaultError(fault);
  };

  const open: Disk['open'] = (path, how, mode) => {
    if (how === 'read' || how === 'read-linked') return disk.open(path, how, mode);
    const isNew = how === 'fresh' || (how === 'append' && disk.look(path) === undefined);
    return changing(
      path,
      () => disk.open(path, how, mode),
      (fd) => {
        const { identity, size } = disk.facts(fd);
        disk.close(fd);
        if (isNew && size === 0 && disk.look(path)?.identity === identity) disk.remove(path);
      },
    );
  };

  return {
    away: isAway,
    release: () => {
      if (pinned.ok) onDisk(journal, () => disk.close(pinned.value));
    },
    disk: {
      ...disk,
      open,
      makeFolder: (path, mode, within) =>
        changing(
          path,
          () => disk.makeFolder(path, mode, isInside(path) ? state : within),
          (topmost) => {
            if (topmost !== undefined) disk.remove(topmost);
          },
        ),
      rename: (from, to) => {
        const isNew = disk.look(to) === undefined;
        changing(
          to,
          () => disk.rename(from, to),
          () => {
            if (isNew) disk.rename(to, from);
          },
        );
      },
      remove: (path) => changing(path, () => disk.remove(path)),
      syncFolder: (path) => calling(path, () => disk.syncFolder(path)),
    },
  };
};
