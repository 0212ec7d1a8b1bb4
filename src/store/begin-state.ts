import type { Outcome } from '../fault/fault.ts';
import { ok } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { inState, stateFiles, stateFolders } from './layout.ts';
import { settleFolder, writeFile } from './write-file.ts';

/** A journal is bytes: git must not turn its line feeds into anything else. */
const attributes = '* -text\n';

/** Makes what a state needs before its first line, and nothing that is there already. Codes `disk-…`. */
export const beginState = (disk: Disk, state: string): Outcome<void> => {
  const made = onDisk(state, () => {
    const journal = inState(state, stateFolders.journal);
    if (disk.look(journal) === undefined) settleFolder(disk, journal);
    return disk.look(inState(state, stateFiles.attributes));
  });
  if (!made.ok) return made;
  return made.value === undefined
    ? writeFile(disk, inState(state, stateFiles.attributes), attributes, { where: stateFiles.attributes })
    : ok(undefined);
};
