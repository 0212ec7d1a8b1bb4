import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { linkBehind, type Link } from '../proof/chain.ts';
import type { SealedLine } from '../proof/line.ts';
import type { Disk, Facts } from './disk.ts';
import { diskFault, onDisk } from './disk-fault.ts';
import type { WriterFile } from './journal-read.ts';
import { inState, journalFile, stateFolders } from './layout.ts';
import { isSame } from './opening-files.ts';
import { settleFolder, writeAll } from './write-file.ts';

/** Adds lines to the file of one writer. Only the process that holds the lock has one. */
export interface Appender {
  readonly writer: string;
  /** The last line that is on the disk. */
  head(): Link | undefined;
  /** The facts of the file as it was read, then as the last append left them. */
  facts(): Facts | undefined;
  /** True once another program has touched the file between two of our lines, without changing its length. */
  wasTouched(): boolean;
  /**
   * Writes one line, and returns once it would survive a power cut. After a fault the file is as it was before.
   * Codes: `disk-…`; those of a chain, where the line does not follow the last; `journal-changed` where another program has
   * written to the file; `journal-stopped` after a fault that leaves the content of the disk unknown.
   */
  append(line: SealedLine): Outcome<Link>;
  close(): void;
}

/** The journal file as the appender knows it between two appends. */
interface Tape {
  readonly disk: Disk;
  readonly state: string;
  readonly writer: string;
  /** `journal/WRITER.jsonl` */
  readonly file: string;
  /** The full path of the same file. */
  readonly path: string;
  /** The open file; it is opened by the first append. */
  open: { readonly fd: number; readonly identity: string } | undefined;
  last: Link | undefined;
  /** As the file was read, or as the last append left it. */
  facts: Facts | undefined;
  touched: boolean;
  /** Bytes known to be on the disk. */
  length: number;
  /** The last line has no line feed yet. */
  bare: boolean;
  /** Why nothing more may be written. */
  stopped: Fault | undefined;
}

const stop = (tape: Tape, fault: Fault): Outcome<never> => {
  const todo = 'Close dryfit and open it again: it then reads what is on the disk';
  tape.stopped = diskFault('journal-stopped', fault.what, todo, tape.file);
  return err(fault);
};

const openTape = (tape: Tape): NonNullable<Tape['open']> => {
  const { disk, state, path } = tape;
  const folder = inState(state, stateFolders.journal);
  settleFolder(disk, folder);
  const isNew = disk.look(path) === undefined;
  const fd = disk.open(path, 'append');
  tape.open = { fd, identity: disk.facts(fd).identity };
  if (isNew) disk.syncFolder(folder);
  return tape.open;
};

/**
 * Checks before each line that the path still names the open file and that it ends where the last line ended: a file sync may
 * have replaced it.
 */
const readyTape = (tape: Tape): Outcome<number> => {
  const { disk, path, file } = tape;
  const ready = onDisk(file, () => {
    const { fd, identity } = tape.open ?? openTape(tape);
    const facts = disk.look(path);
    const same = facts?.kind === 'file' && facts.size === tape.length && facts.identity === identity;
    tape.touched ||= tape.facts !== undefined && !isSame(tape.facts, facts);
    return same ? fd : undefined;
  });
  if (!ready.ok) return ready;
  if (ready.value !== undefined) return ok(ready.value);
  const todo = 'Close dryfit and open it again: it then reads what is on the disk; nothing was lost';
  return stop(tape, wrong('journal-changed', 'something else changed this file while dryfit had it open', todo, file));
};

/**
 * Removes whatever part of a line reached the file. Where that fails too, the next opening sets the part aside. After a failed
 * sync nothing more is written: the system may report dropped pages as written, and only reading the file again shows what is
 * there.
 */
const takeBack = (tape: Tape, fd: number, fault: Fault, failed: 'write' | 'sync'): Outcome<never> => {
  const undone = onDisk(tape.file, () => {
    tape.disk.truncate(fd, tape.length);
    tape.disk.syncData(fd);
  });
  return undone.ok && failed === 'write' ? err(fault) : stop(tape, fault);
};

/** Writes one line, after the line feed that a crash may have taken from the line before. Gives the number of bytes. */
const writeLine = (tape: Tape, fd: number, text: string): Outcome<number> => {
  const bytes = Buffer.from(`${tape.bare ? '\n' : ''}${text}\n`, 'utf8');
  const written = onDisk(tape.file, () => writeAll(tape.disk, fd, bytes));
  if (!written.ok) return takeBack(tape, fd, written.fault, 'write');
  const synced = onDisk(tape.file, () => tape.disk.syncData(fd));
  return synced.ok ? ok(bytes.length) : takeBack(tape, fd, synced.fault, 'sync');
};

const append = (tape: Tape, { line, text, hash }: SealedLine): Outcome<Link> => {
  if (tape.stopped !== undefined) return err(tape.stopped);
  const link = linkBehind(tape.writer, tape.file, tape.last, { line, hash });
  if (!link.ok) return link;
  const ready = readyTape(tape);
  if (!ready.ok) return ready;
  const written = writeLine(tape, ready.value, text);
  if (!written.ok) return written;
  tape.length += written.value;
  tape.bare = false;
  tape.last = link.value;
  const facts = onDisk(tape.file, () => tape.disk.facts(ready.value));
  if (facts.ok) tape.facts = facts.value;
  else tape.touched = true; // from here on a change by another program could not be noticed
  return link;
};

const close = (tape: Tape): void => {
  const { open, disk, file } = tape;
  // everything appended is on the disk already, so a failure to close changes nothing
  if (open !== undefined) onDisk(file, () => disk.close(open.fd));
  tape.open = undefined;
  tape.stopped ??= diskFault('journal-stopped', 'the journal is closed', 'Open it again', file);
};

/**
 * @param state an absolute path.
 * @param found the writer's file as it was read, its torn tail already set aside; absent for a new writer.
 */
export const openAppender = (disk: Disk, state: string, writer: string, found?: WriterFile): Appender => {
  const tape: Tape = {
    disk,
    state,
    writer,
    file: journalFile(writer),
    path: inState(state, journalFile(writer)),
    open: undefined,
    last: found?.links.at(-1),
    facts: found?.facts,
    touched: false,
    length: found?.length ?? 0,
    bare: found?.ending === 'bare',
    stopped: undefined,
  };
  return {
    writer,
    head: () => tape.last,
    facts: () => tape.facts,
    wasTouched: () => tape.touched,
    append: (line) => append(tape, line),
    close: () => close(tape),
  };
};
