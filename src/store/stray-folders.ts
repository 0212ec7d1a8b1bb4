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
 * The folders of a state that are not folders but links or the like, which a state from another machine may contain. There is a
 * fault for each, and nothing may be written while one remains. A failing disk gives a fault of the outcome.
 */
export const strayFolders = (disk: Disk, state: string): Outcome<readonly Fault[]> =>
  onDisk(state, () => {
    const own = Object.values(stateFolders).filter((folder) => isStray(disk, inState(state, folder)));
    if (own.includes(stateFolders.records)) return own.map(stray);
    const records = disk.list(inState(state, stateFolders.records)).map((job) => `${stateFolders.records}/${job}`);
    const linked = records.filter((path) => disk.look(inState(state, path))?.kind === 'other');
    return [...own, ...linked].map(stray);
  });

/** The first of them, if any. */
export const firstStray = (disk: Disk, state: string): Outcome<Fault | undefined> => {
  const found = strayFolders(disk, state);
  return found.ok ? ok(found.value[0]) : found;
};
