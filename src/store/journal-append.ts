import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { linkAfter, type Link } from '../proof/chain.ts';
import type { SealedLine } from '../proof/line.ts';
import type { Disk, Facts } from './disk.ts';
import { diskFault, onDisk } from './disk-fault.ts';
import type { WriterFile } from './journal-read.ts';
import { inState, journalFile, stateFolders } from './layout.ts';
import { isSame } from './opening-files.ts';
import { writeAll } from './write-file.ts';

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
   * Writes one line, and returns once it would survive a power cut. After a fault the file is as it was before, unless the fault
   * is `entry-unsure`.
   * Codes: `disk-…`; those of a chain, where the line does not follow the last; `journal-changed` where another program has
   * written to the file; `entry-unsure` where nobody knows whether the line was kept; `journal-stopped` after a fault that leaves
   * the content of the disk unknown.
   */
  append(line: SealedLine): Outcome<Link>;
  /** True after `entry-unsure`. */
  isUnsure(): boolean;
  close(): void;
}

/** The journal file as the appender knows it between two appends. */
interface OwnFile {
  readonly disk: Disk;
  readonly state: string;
  readonly writer: string;
  /** Why the state folder is not the one that was opened, or `undefined`. */
  readonly away: () => Fault | undefined;
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
  /** The file may hold more than `length`. */
  unsure: boolean;
}

const stop = (own: OwnFile, fault: Fault): Outcome<never> => {
  const todo = 'Close dryfit and open it again: it then reads what is on the disk';
  own.stopped = diskFault('journal-stopped', fault.what, todo, own.file);
  return err(fault);
};

/** The journal folder must exist: whoever begins a build makes it, and nobody makes it anew. */
const openFile = (own: OwnFile): NonNullable<OwnFile['open']> => {
  const { disk, state, path } = own;
  const isNew = own.length === 0 && disk.look(path) === undefined;
  const fd = disk.open(path, isNew ? 'append' : 'extend');
  own.open = { fd, identity: disk.facts(fd).identity };
  if (isNew) disk.syncFolder(inState(state, stateFolders.journal));
  return own.open;
};

const changed = (own: OwnFile): Fault => {
  const todo =
    'Close dryfit and open it again: it then reads what is on the disk, and says so where entries are missing';
  return wrong('journal-changed', 'something else changed this file while dryfit had it open', todo, own.file);
};

/**
 * Checks before each line that the path still names the open file and that it ends where the last line ended: a file sync may
 * have replaced it.
 */
const readyFile = (own: OwnFile): Outcome<NonNullable<OwnFile['open']>> => {
  const { disk, path, file } = own;
  const ready = onDisk(file, () => {
    if (own.open === undefined && own.length > 0 && disk.look(path) === undefined) return undefined;
    const open = own.open ?? openFile(own);
    const facts = disk.look(path);
    const same = facts?.kind === 'file' && facts.size === own.length && facts.identity === open.identity;
    own.touched ||= own.facts !== undefined && !isSame(own.facts, facts);
    return same ? open : undefined;
  });
  if (!ready.ok) return ready;
  return ready.value === undefined ? stop(own, own.away() ?? changed(own)) : ok(ready.value);
};

/** Nobody knows whether the line that was being written was kept. */
const unsure = (own: OwnFile, what: string): Outcome<never> => {
  own.unsure = true;
  const todo =
    'Close dryfit, look after the disk, and open it again: it then says whether the entry was kept; do not enter it again before';
  return stop(
    own,
    diskFault('entry-unsure', `${what}, and it is not known whether this entry was kept`, todo, own.file),
  );
};

/** The file still ends where it did: nothing of the line reached it, as on a disk that can only be read. */
const isAsBefore = (own: OwnFile, fd: number): boolean => {
  const facts = onDisk(own.file, () => own.disk.facts(fd));
  return facts.ok && facts.value.size === own.length;
};

/**
 * Removes whatever part of a line reached the file. Where that fails too, nobody knows what is there, and the next opening settles
 * it. After a failed sync nothing more is written: the system may report dropped pages as written, and only reading the file again
 * shows what is there.
 */
const takeBack = (own: OwnFile, fd: number, fault: Fault, failed: 'write' | 'sync'): Outcome<never> => {
  if (failed === 'write' && isAsBefore(own, fd)) return err(fault);
  const undone = onDisk(own.file, () => {
    own.disk.truncate(fd, own.length);
    own.disk.syncData(fd);
  });
  if (!undone.ok) return unsure(own, fault.what);
  return failed === 'write' ? err(fault) : stop(own, fault);
};

/** Writes one line, after the line feed that a crash may have taken from the line before. Gives the number of bytes. */
const writeLine = (own: OwnFile, fd: number, text: string): Outcome<number> => {
  const bytes = Buffer.from(`${own.bare ? '\n' : ''}${text}\n`, 'utf8');
  const written = onDisk(own.file, () => writeAll(own.disk, fd, bytes));
  if (!written.ok) return takeBack(own, fd, written.fault, 'write');
  const synced = onDisk(own.file, () => own.disk.syncData(fd));
  return synced.ok ? ok(bytes.length) : takeBack(own, fd, synced.fault, 'sync');
};

const append = (own: OwnFile, { line, text, hash }: SealedLine): Outcome<Link> => {
  if (own.stopped !== undefined) return err(own.stopped);
  const link = linkAfter(own.writer, own.file, own.last, { line, hash });
  if (!link.ok) return link;
  const ready = readyFile(own);
  if (!ready.ok) return ready;
  const { fd, identity } = ready.value;
  const written = writeLine(own, fd, text);
  if (!written.ok) return written;
  // what the path names now: a line that went into a file that is not there any more is not taken
  const facts = onDisk(own.file, () => own.disk.look(own.path));
  if (facts.ok && facts.value?.identity !== identity)
    return unsure(own, own.away()?.what ?? 'the journal file was moved or replaced while a line was written');
  own.length += written.value;
  own.bare = false;
  own.last = link.value;
  if (facts.ok) own.facts = facts.value;
  else own.touched = true; // from here on a change by another program could not be noticed
  return link;
};

const close = (own: OwnFile): void => {
  const { open, disk, file } = own;
  // everything appended is on the disk already, so a failure to close changes nothing
  if (open !== undefined) onDisk(file, () => disk.close(open.fd));
  own.open = undefined;
  own.stopped ??= diskFault('journal-stopped', 'the journal is closed', 'Open it again', file);
};

/**
 * @param state an absolute path.
 * @param found the writer's file as it was read, its torn tail already set aside; absent for a new writer.
 * @param away why the state folder is not the one that was opened; see `HeldState`.
 */
export const openAppender = (
  disk: Disk,
  state: string,
  writer: string,
  found?: WriterFile,
  away: () => Fault | undefined = () => undefined,
): Appender => {
  const own: OwnFile = {
    disk,
    state,
    writer,
    away,
    file: journalFile(writer),
    path: inState(state, journalFile(writer)),
    open: undefined,
    last: found?.links.at(-1),
    facts: found?.facts,
    touched: false,
    length: found?.length ?? 0,
    bare: found?.ending === 'bare',
    stopped: undefined,
    unsure: false,
  };
  return {
    writer,
    head: () => own.last,
    facts: () => own.facts,
    wasTouched: () => own.touched,
    append: (line) => append(own, line),
    isUnsure: () => own.unsure,
    close: () => close(own),
  };
};
