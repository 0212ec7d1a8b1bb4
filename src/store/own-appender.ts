import { ok, type Outcome } from '../fault/fault.ts';
import { buildOf } from '../proof/chain.ts';
import type { Disk } from './disk.ts';
import { notice, onDisk, type Notice } from './disk-fault.ts';
import { openAppender, type Appender } from './journal-append.ts';
import type { JournalRead } from './journal-read.ts';
import { chooseWriter, realState, recallWriter, rememberWriter } from './writers.ts';

/** Whose writer, where, and where chance comes from. */
export interface Own {
  readonly disk: Disk;
  /** An absolute path of a folder that is there. */
  readonly state: string;
  readonly config: string;
  readonly random: (length: number) => Uint8Array;
}

/** This machine's own appender. Closing it remembers where it stood. */
export interface OwnAppender extends Appender {
  /** A new writer, where the one before could not go on. */
  readonly notices: readonly Notice[];
}

/**
 * Opens the writer of this machine: the one that wrote here before, where its file is as it left it, else a new one.
 * Where it stands is remembered before the first line of a session and when it closes. A configuration folder that
 * cannot be written stops nobody from writing down what was done: the next session is then a new writer.
 * @param read the journal as found, torn tails set aside on the disk.
 */
export const openOwnAppender = ({ disk, state, config, random }: Own, read: JournalRead): Outcome<OwnAppender> => {
  const real = realState(disk, state);
  if (!real.ok) return real;
  const memory = read.build === undefined ? undefined : recallWriter(disk, config, read.build, real.value);
  const { writer, because } = chooseWriter(memory, read, random);
  const inner = openAppender(
    disk,
    state,
    writer,
    read.files.find((file) => file.writer === writer),
  );
  let build = read.build;
  let hasBegun = false;

  const remember = (writing: boolean): void => {
    if (build === undefined) return;
    const head = inner.head();
    rememberWriter(disk, config, build, real.value, {
      writer,
      seq: head?.line.seq ?? 0,
      hash: head?.hash ?? '',
      writing,
    });
  };
  const append: Appender['append'] = (line) => {
    if (!hasBegun) remember(true);
    hasBegun = true;
    const link = inner.append(line);
    if (link.ok) build ??= buildOf(link.value);
    return link;
  };
  const close = (): void => {
    inner.close();
    if (hasBegun) onDisk(writer, () => remember(false));
  };
  const notices = because === undefined ? [] : [notice('writer-new', `${because}: ${writer} goes on from here`)];
  return ok({ ...inner, append, close, notices });
};
