import type { Outcome } from '../fault/fault.ts';
import { err, ok } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk } from './disk.ts';
import { notice, onDisk, type Notice } from './disk-fault.ts';
import { inState, stateFolders } from './layout.ts';
import type { JournalRead, WriterFile } from './journal-read.ts';
import { writeFile } from './write-file.ts';

/** The path for a torn tail. Its name comes from its place and content, so that setting it aside again after a crash changes nothing. */
const tornFile = ({ writer, links }: WriterFile, torn: Uint8Array): string =>
  `${stateFolders.torn}/${writer}-${links.length + 1}-${sha256Hex(torn).slice(0, 8)}.part`;

const cutOff = (disk: Disk, state: string, { file, length }: WriterFile): Outcome<void> =>
  onDisk(file, () => {
    const fd = disk.open(inState(state, file), 'append');
    try {
      disk.truncate(fd, length);
      disk.syncData(fd);
    } finally {
      disk.close(fd);
    }
  });

/** How a torn tail is reported. `into` is the file that it was moved to. */
export const tornNotice = ({ file, links }: WriterFile, into?: string): Notice =>
  notice(
    'torn-tail',
    `the power went while a line was written; ${into === undefined ? 'the piece was never shown as taken' : `the piece lies in ${into}`}`,
    `${file}:${links.length + 1}`,
  );

/**
 * Moves the torn tails to `torn/` and cuts the journal files after their last whole line: each piece is written first, then its
 * file is cut. Only the process that holds the lock may call this. Where the journal is damaged, the pieces are only reported.
 */
export const setTornAside = (
  disk: Disk,
  state: string,
  read: JournalRead,
): Outcome<{ readonly read: JournalRead; readonly notices: readonly Notice[] }> => {
  const notices: Notice[] = [];
  for (const file of read.files) {
    if (file.torn === undefined) continue;
    if (read.damage !== undefined) {
      notices.push(tornNotice(file));
      continue;
    }
    const into = tornFile(file, file.torn);
    const kept = writeFile(disk, inState(state, into), file.torn, { where: into });
    if (!kept.ok) return err(kept.fault);
    const cut = cutOff(disk, state, file);
    if (!cut.ok) return err(cut.fault);
    notices.push(tornNotice(file, into));
  }
  return ok({ read, notices });
};
