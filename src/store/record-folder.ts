import { basename, dirname, join } from 'node:path';
import { err, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { inState, isRecordName, temporary } from './layout.ts';
import { settleFolder, writeSynced } from './write-file.ts';

/** Records are handed on, so others may read them, regardless of the umask. */
const fileMode = 0o644;
const folderMode = 0o755;

const misnamed = (name: string): Fault =>
  wrong('record-name', `${JSON.stringify(name)} is no name for a file of a record`, 'Rename the file', name);

const fill = (disk: Disk, folder: string, files: ReadonlyMap<string, Uint8Array>): void => {
  const inner = new Set([folder]);
  for (const [name, content] of files) {
    const path = join(folder, ...name.split('/'));
    if (!inner.has(dirname(path))) disk.makeFolder(dirname(path), folderMode);
    inner.add(dirname(path));
    writeSynced(disk, path, content, fileMode);
  }
  for (const path of [...inner].toReversed()) disk.syncFolder(path);
};

/**
 * Creates the folder of one record with all its files at once: it is built beside its place under a temporary name, then renamed.
 * What a kill left of an earlier try is removed first.
 * @param folder `records/JOB/N`, see `recordFolder`.
 * @param files by their names in the folder, such as `record.json` or `holds/3.json`.
 * Codes: `record-name`, `record-exists`, `disk-…`.
 */
export const publishFolder = (
  disk: Disk,
  state: string,
  folder: string,
  files: ReadonlyMap<string, Uint8Array>,
): Outcome<void> => {
  const odd = [...files.keys()].find((name) => !isRecordName(name));
  if (odd !== undefined) return err(misnamed(odd));
  const path = inState(state, folder);
  const beside = join(dirname(path), temporary(basename(path)));
  const there = onDisk(folder, () => disk.look(path));
  if (!there.ok) return there;
  if (there.value !== undefined)
    return err(wrong('record-exists', 'this record is there already', 'Write the next number', folder));
  return onDisk(folder, () => {
    settleFolder(disk, dirname(path), folderMode);
    disk.remove(beside);
    disk.makeFolder(beside, folderMode);
    fill(disk, beside, files);
    disk.rename(beside, path);
    disk.syncFolder(dirname(path));
  });
};
