import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { linkBehind, type Link } from '../proof/chain.ts';
import type { SealedLine } from '../proof/line.ts';
import type { Disk, Facts } from './disk.ts';
import { diskFault, onDisk } from './disk-fault.ts';
import type { WriterFile } from './journal-read.ts';
import { inState, journalFile, stateFolders } from './layout.ts';
import { isSame } from './opening-files.ts';
import { settleFolder, writeAll } from './write-file.ts';

/** Adds lines to one writer's file. There is one at a time: whoever holds the lock. */
export interface Appender {
  readonly writer: string;
  /** The last line that is on the disk. */
  head(): Link | undefined;
  /** The file as it was read, then as the last append left it. */
  facts(): Facts | undefined;
  /** Somebody else touched the file before one of our lines, though it ended where we had left it. */
  wasTouched(): boolean;
  /**
   * Puts one line on the disk, and returns once it would survive a power cut.
   * After a fault the file is as it was before. Codes: `disk-…`; those of a chain, where the line does not follow the last;
   * `journal-changed` where something else has written to the file; `journal-stopped` after a fault that left it unsure.
   */
  append(line: SealedLine): Outcome<Link>;
  close(): void;
}

/** The file between two appends. */
interface Tape {
  readonly disk: Disk;
  readonly state: string;
  readonly writer: string;
  /** `journal/WRITER.jsonl` */
  readonly file: string;
  /** The same, on the machine. */
  readonly path: string;
  /** The open file, from the first append on. */
  open: { readonly fd: number; readonly identity: string } | undefined;
  last: Link | undefined;
  /** As it was read, or after the last append. */
  facts: Facts | undefined;
  touched: boolean;
  /** Bytes that are known to be on the disk. */
  length: number;
  /** The last line still lacks its line feed. */
  bare: boolean;
  /** Why nothing more is written. */
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

/** The name must still lead to the file that is open, and that must end where we left it: a sync may have replaced it. */
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
 * Takes back whatever of a line reached the file. Where even that fails the next opening sets it aside. After a failed
 * sync nothing more is written: the system may call pages written that it has dropped, and only a fresh look can tell.
 */
const takeBack = (tape: Tape, fd: number, fault: Fault, failed: 'write' | 'sync'): Outcome<never> => {
  const undone = onDisk(tape.file, () => {
    tape.disk.truncate(fd, tape.length);
    tape.disk.syncData(fd);
  });
  return undone.ok && failed === 'write' ? err(fault) : stop(tape, fault);
};

/** One line, and the line feed that a crash took from the one before; the number of bytes. */
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
  else tape.touched = true; // nobody can tell any more
  return link;
};

const close = (tape: Tape): void => {
  const { open, disk, file } = tape;
  // what was appended is on the disk already: whatever closing says changes nothing
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
