import { join } from 'node:path';
import { ok, type Outcome } from '../../fault/fault.ts';
import type { AnswerFile } from '../../record/verify-holds.ts';
import { maxRecord } from '../../record/read.ts';
import type { SignedFile } from '../../record/verify.ts';
import type { Disk } from '../../store/disk.ts';
import { readFile, readText } from '../../store/read-file.ts';

/** The files of a record folder, wherever it is. */
export interface RecordOnDisk {
  readonly bytes: Uint8Array;
  readonly signature?: string;
  /** record.html and its signature, as far as they are there. */
  readonly page: SignedFile;
  /** By their path in the folder: `holds/…`. */
  readonly answers: ReadonlyMap<string, AnswerFile>;
}

const smallFile = 1024 * 1024;

const textAt = (disk: Disk, path: string): string | undefined => {
  const text = readText(disk, path, { where: path, limit: smallFile, links: 'follow' });
  return text.ok ? text.value : undefined;
};

const pageIn = (disk: Disk, folder: string): SignedFile => {
  const path = join(folder, 'record.html');
  const bytes = readFile(disk, path, { where: path, limit: maxRecord, links: 'follow' });
  const signature = textAt(disk, `${path}.sig`);
  return { ...(bytes.ok ? { bytes: bytes.value } : {}), ...(signature === undefined ? {} : { signature }) };
};

const answersIn = (disk: Disk, folder: string): ReadonlyMap<string, AnswerFile> => {
  const answers = new Map<string, AnswerFile>();
  for (const name of disk.list(join(folder, 'holds'))) {
    if (!name.endsWith('.json')) continue;
    const path = join(folder, 'holds', name);
    const bytes = readFile(disk, path, { where: path, limit: smallFile, links: 'follow' });
    if (!bytes.ok) continue;
    const signature = textAt(disk, `${path}.sig`);
    answers.set(`holds/${name}`, { bytes: bytes.value, ...(signature === undefined ? {} : { signature }) });
  }
  return answers;
};

/**
 * Reads one record with the files beside it.
 * @param file the path of its record.json, whatever its name.
 */
export const readRecordFiles = (disk: Disk, folder: string, file: string): Outcome<RecordOnDisk> => {
  const bytes = readFile(disk, file, { where: file, limit: maxRecord, links: 'follow' });
  if (!bytes.ok) return bytes;
  const signature = textAt(disk, `${file}.sig`);
  return ok({
    bytes: bytes.value,
    page: pageIn(disk, folder),
    answers: answersIn(disk, folder),
    ...(signature === undefined ? {} : { signature }),
  });
};
