import type { Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { inState, stateFolders, writerOf } from './layout.ts';

const isWriterFile = (name: string): boolean => writerOf(name) !== undefined;

/** The names in `journal/` as paths in the state: the writers' files, and the files that are not read. */
export const journalNames = (
  disk: Disk,
  state: string,
): Outcome<{ readonly files: readonly string[]; readonly unread: readonly string[] }> =>
  onDisk(stateFolders.journal, () => {
    const names = disk.list(inState(state, stateFolders.journal));
    const [files, unread] = [names.filter(isWriterFile), names.filter((name) => !isWriterFile(name))];
    const inJournal = (name: string): string => `${stateFolders.journal}/${name}`;
    return { files: files.map(inJournal), unread: unread.map(inJournal) };
  });
