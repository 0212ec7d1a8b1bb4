import { basename, dirname, join } from 'node:path';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { inState, isHashName, isTemporary, stateFiles, stateFolders, writerOf } from './layout.ts';

/** The usual name of a state folder. */
export const usualName = 'state';

/** What `look` gives, or `undefined` where the disk does not say. */
const kindAt = (disk: Disk, path: string): 'file' | 'folder' | 'other' | undefined => {
  const facts = onDisk(path, () => disk.look(path));
  return facts.ok ? facts.value?.kind : undefined;
};

const namesIn = (disk: Disk, path: string): readonly string[] => {
  const names = onDisk(path, () => disk.list(path));
  return names.ok ? names.value : [];
};

/** True where a folder has `journal`, of whatever kind. */
export const hasJournal = (disk: Disk, folder: string): boolean =>
  kindAt(disk, inState(folder, stateFolders.journal)) !== undefined;

const hasWriter = (disk: Disk, folder: string): boolean =>
  namesIn(disk, inState(folder, stateFolders.journal)).some((name) => writerOf(name) !== undefined);

/**
 * What a folder holds that only comes after the first line of a journal: keys, versions of build.yaml, records. The name of the first
 * such thing, or `undefined`.
 */
const remainsIn = (disk: Disk, folder: string): string | undefined => {
  if (kindAt(disk, inState(folder, stateFiles.allowedSigners)) === 'file') return stateFiles.allowedSigners;
  if (namesIn(disk, inState(folder, stateFolders.builds)).some(isHashName)) return stateFolders.builds;
  return namesIn(disk, inState(folder, stateFolders.records)).some((name) => !isTemporary(name))
    ? stateFolders.records
    : undefined;
};

/**
 * What a state still holds whose journal is gone: a copy that failed half-way, a folder that was not mounted. `undefined` where the
 * journal has a file, or where nothing shows that there ever was one.
 */
export const journalGone = (disk: Disk, folder: string): string | undefined =>
  hasWriter(disk, folder) ? undefined : remainsIn(disk, folder);

/**
 * True for a state folder. One of the usual name needs `journal/` alone; any other folder may have a `journal` of another kind, so
 * it must show by a writer's file, or by what follows the first line, whose journal it is.
 */
export const isStateFolder = (disk: Disk, folder: string): boolean =>
  hasJournal(disk, folder) &&
  (basename(folder) === usualName || hasWriter(disk, folder) || remainsIn(disk, folder) !== undefined);

/** The real path of a file or folder that need not exist: the links above it are followed. */
export const realPath = (disk: Disk, path: string): string => {
  const real = onDisk(path, () => disk.real(path));
  if (real.ok) return real.value;
  return dirname(path) === path ? path : join(realPath(disk, dirname(path)), basename(path));
};

/** This folder and those above it, nearest first, by their real paths. */
export const upwards = (disk: Disk, folder: string): readonly string[] => {
  const found: string[] = [];
  for (let at = realPath(disk, folder); ; at = dirname(at)) {
    found.push(at);
    if (dirname(at) === at) return found;
  }
};

/** The nearest state folder that a path is inside of, by real paths. A state is not inside itself. */
export const enclosingState = (disk: Disk, path: string): string | undefined =>
  upwards(disk, path)
    .slice(1)
    .find((at) => isStateFolder(disk, at));
