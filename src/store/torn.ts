import type { Outcome } from '../fault/fault.ts';
import { err, ok } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import type { Disk, Facts } from './disk.ts';
import { notice, onDisk, type Notice } from './disk-fault.ts';
import { inState, linePlace, stateFolders } from './layout.ts';
import type { JournalRead, WriterFile } from './journal-read.ts';
import { readFile } from './read-file.ts';
import { writeFile } from './write-file.ts';
import type { WriterChoice } from './writers.ts';

/*
 * The ends of journal files. Only a writer shortens its own file, while it holds its own lock and remembers where the file ended.
 * In a shared folder another writer's torn tail may be a line that is being written just now; in a copied folder it may be the
 * half of an entry that its own machine has whole. It is reported and passed over.
 */

/** The path for a torn tail. Its name comes from its place and content, so that setting it aside again after a crash changes nothing. */
const tornFile = ({ writer, links }: WriterFile, torn: Uint8Array): string =>
  `${stateFolders.torn}/${writer}-${links.length + 1}-${sha256Hex(torn).slice(0, 8)}.part`;

const cutOff = (disk: Disk, state: string, { file, length }: WriterFile): Outcome<Facts> =>
  onDisk(file, () => {
    const fd = disk.open(inState(state, file), 'extend');
    try {
      disk.truncate(fd, length);
      disk.syncData(fd);
      return disk.facts(fd);
    } finally {
      disk.close(fd);
    }
  });

/** How a torn tail is reported that stays where it is. */
export const tornNotice = ({ file, links, before = 0 }: WriterFile): Notice =>
  notice(
    'torn-tail',
    'this line is not whole: it is being written just now, the power went, or the file was copied only in part;' +
      ' it is passed over and left as it is (copy the file again from the machine that writes it)',
    `${file}:${before + links.length + 1}`,
  );

const setAside = ({ file, links }: WriterFile, into: string): Notice =>
  notice(
    'torn-tail',
    `the power went while a line was written; the piece is now in ${into}`,
    `${file}:${links.length + 1}`,
  );

type Settled = Outcome<{ readonly file: WriterFile; readonly notices: readonly Notice[] }>;

/** Moves the torn tail of the own file to `torn/` and cuts the file after its last whole line: first the piece is written. */
const setTornAside = (disk: Disk, state: string, whole: WriterFile): Settled => {
  const { torn, ...file } = whole;
  if (torn === undefined) return ok({ file, notices: [] });
  const into = tornFile(file, torn);
  const kept = writeFile(disk, inState(state, into), torn, { where: into });
  if (!kept.ok) return kept;
  const cut = cutOff(disk, state, file);
  return cut.ok ? ok({ file: { ...file, facts: cut.value }, notices: [setAside(file, into)] }) : cut;
};

/** What became of an entry of which the last session could not say whether it was kept. */
const outcomeOf = (file: WriterFile, seq: number): Notice => {
  const last = file.links.at(-1);
  return last !== undefined && last.line.seq > seq
    ? notice(
        'entry-kept',
        `the disk failed while this was written, and it was kept: ${last.line.type}, ${last.line.at}`,
        linePlace(last.line),
      )
    : notice(
        'entry-not-kept',
        'the disk failed while a line was written, and it was not kept: enter it again',
        `${file.file}:${seq + 1}`,
      );
};

/**
 * Writes the own file anew after a failed write or sync. The system may show lines that never reached the disk, and would not
 * write them again by itself: only new bytes are sure.
 */
const writeAnew = (disk: Disk, state: string, file: WriterFile, seq: number): Settled => {
  const path = inState(state, file.file);
  const bytes = readFile(disk, path, { where: file.file, limit: file.length });
  if (!bytes.ok) return bytes;
  const written = writeFile(disk, path, bytes.value, { where: file.file });
  if (!written.ok) return written;
  const facts = onDisk(file.file, () => disk.look(path));
  if (!facts.ok) return facts;
  const { facts: _, ...rest } = file;
  return ok({
    file: facts.value === undefined ? rest : { ...rest, facts: facts.value },
    notices: [outcomeOf(file, seq)],
  });
};

const settleOwn = (disk: Disk, state: string, file: WriterFile, { memory }: WriterChoice): Settled => {
  const aside = setTornAside(disk, state, file);
  if (!aside.ok || memory?.unsure !== true) return aside;
  const anew = writeAnew(disk, state, aside.value.file, memory.seq);
  return anew.ok ? ok({ ...anew.value, notices: [...aside.value.notices, ...anew.value.notices] }) : anew;
};

/**
 * Settles how the own file ends, and reports the torn tails of all others. Only the process that holds the lock may call this.
 * Where the journal is damaged, nothing is changed. Codes `disk-…`.
 */
export const settleEnds = (
  disk: Disk,
  state: string,
  read: JournalRead,
  own: WriterChoice,
): Outcome<{ readonly read: JournalRead; readonly notices: readonly Notice[] }> => {
  const notices: Notice[] = [];
  const files: WriterFile[] = [];
  for (const file of read.files) {
    const isOwn = file.writer === own.writer && own.memory !== undefined && read.damage === undefined;
    const settled = isOwn ? settleOwn(disk, state, file, own) : undefined;
    if (settled?.ok === false) return err(settled.fault);
    if (settled === undefined && file.torn !== undefined) notices.push(tornNotice(file));
    notices.push(...(settled?.value.notices ?? []));
    files.push(settled?.value.file ?? file);
  }
  return ok({ read: { ...read, files }, notices });
};
