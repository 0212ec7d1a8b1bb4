import { ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { inState, stateFolders } from './layout.ts';

const stray = (where: string): Fault =>
  wrong(
    'folder-stray',
    'a link, or something else, stands where a folder of the state belongs: what is put there would lie elsewhere',
    'Put the folder itself there',
    where,
  );

const isStray = (disk: Disk, path: string): boolean => {
  const facts = disk.look(path);
  return facts !== undefined && facts.kind !== 'folder';
};

/**
 * Whatever of a state's folders is none, and leads somewhere else: a folder that came from another machine may hold links. Each is named;
 * nothing is written while one stands. A fault of the outcome is the disk's.
 */
export const strayFolders = (disk: Disk, state: string): Outcome<readonly Fault[]> =>
  onDisk(state, () => {
    const own = Object.values(stateFolders).filter((folder) => isStray(disk, inState(state, folder)));
    if (own.includes(stateFolders.records)) return own.map(stray);
    const records = disk.list(inState(state, stateFolders.records)).map((job) => `${stateFolders.records}/${job}`);
    const linked = records.filter((path) => disk.look(inState(state, path))?.kind === 'other');
    return [...own, ...linked].map(stray);
  });

/** The first of them. */
export const firstStray = (disk: Disk, state: string): Outcome<Fault | undefined> => {
  const found = strayFolders(disk, state);
  return found.ok ? ok(found.value[0]) : found;
};
