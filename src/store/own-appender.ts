import { ok, type Outcome } from '../fault/fault.ts';
import { buildOf } from '../proof/chain.ts';
import type { Disk } from './disk.ts';
import { notice, onDisk, type Notice } from './disk-fault.ts';
import { openAppender, type Appender } from './journal-append.ts';
import type { JournalRead } from './journal-read.ts';
import { chooseWriter, realState, recallWriter, rememberWriter } from './writers.ts';

/** Where this machine's writer writes and keeps its memory, and its source of random bytes. */
export interface Own {
  readonly disk: Disk;
  /** The absolute path of an existing folder. */
  readonly state: string;
  readonly config: string;
  readonly random: (length: number) => Uint8Array;
}

/** The appender of this machine. Closing it remembers where the writer's file ends. */
export interface OwnAppender extends Appender {
  /** Reports a new writer, where the one before could not continue. */
  readonly notices: readonly Notice[];
}

/**
 * Opens the writer of this machine: the one that wrote here before, if its file is as it left it, else a new one. Where the file
 * ends is remembered before the first line of a session and when the session closes. A configuration folder that cannot be
 * written keeps nobody from entering what was done; the next session then has a new writer.
 * @param read the journal as it was found, its torn tails already set aside on the disk.
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
