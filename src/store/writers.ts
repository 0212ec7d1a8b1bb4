import { ok, type Outcome } from '../fault/fault.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import type { JournalRead } from './journal-read.ts';
import { lastLine, type WriterMemory } from './writer-memory.ts';

/*
 * Which writer this machine writes as. A file that was continued on two machines could never be merged, so a writer continues
 * only a file that ends where it remembers. A state that was restored from a copy, or copied to where another dryfit works, gets
 * a new writer.
 */

/** Which writer to continue with. */
export interface WriterChoice {
  readonly writer: string;
  /** Where it is a new one although there was another: why, to be reported. */
  readonly because?: string;
  /** With `because`: where the file of the other ended, as this machine remembers. The first line of the new one says it. */
  readonly doubted?: string;
  /** What is remembered of a writer that continues. */
  readonly memory?: WriterMemory;
}

const letters = 'abcdefghijklmnopqrstuvwxyz';
const alphabet = `${letters}234567`;

/** A new writer's name, from eight random bytes: a letter, then seven of a to z and 2 to 7. */
export const newWriter = (random: (length: number) => Uint8Array): string => {
  const [head = 0, ...rest] = random(8);
  return letters.charAt(head % letters.length) + rest.map((byte) => alphabet.charAt(byte % alphabet.length)).join('');
};

const missingEntries = (count: number): string =>
  count === 1 ? 'one entry that was taken here is missing' : `${count} entries that were taken here are missing`;

/**
 * Why the file of a remembered writer is not the one that this machine left, or `undefined` where it is.
 * @param read the journal as found, torn tails included.
 */
export const writerFlaw = (memory: WriterMemory, read: JournalRead): string | undefined => {
  const { writer, seq, hash, writing, isNewer = false, unsure = false } = memory;
  const file = read.files.find((candidate) => candidate.writer === writer);
  const { links = [], before = 0, torn } = file ?? {};
  const count = before + links.length;
  if (count < seq)
    return (
      `the file of ${writer} ends at line ${count}, not at ${seq}: ${missingEntries(seq - count)}` +
      ` (bring journal/${writer}.jsonl back from another copy)`
    );
  if (seq > 0 && links[seq - 1 - before]?.hash !== hash) return `line ${seq} of ${writer} is not the one written here`;
  const hasMore = count > seq || torn !== undefined;
  if (!writing) return hasMore ? `the file of ${writer} goes on after line ${seq}, where it ended here` : undefined;
  // A session that was killed leaves lines, or a piece of one. Without any, lines may have been lost. Before the build's first
  // line there are none to lose.
  return hasMore || isNewer || unsure || read.build === undefined
    ? undefined
    : `the last session of ${writer} did not end, and none of its lines are there`;
};

/** The writer to continue with: the remembered one if its file ends where it must, else a new one. */
export const chooseWriter = (
  memory: WriterMemory | 'unreadable' | undefined,
  read: JournalRead,
  random: (length: number) => Uint8Array,
): WriterChoice => {
  const because =
    memory === undefined
      ? undefined
      : memory === 'unreadable'
        ? 'what this machine remembered of its own file cannot be read'
        : writerFlaw(memory, read);
  if (memory !== undefined && memory !== 'unreadable' && because === undefined)
    return { writer: memory.writer, memory };
  let writer = newWriter(random);
  while (read.files.some((file) => file.writer === writer)) writer = newWriter(random);
  if (because === undefined) return { writer };
  const doubted =
    memory === undefined || memory === 'unreadable'
      ? undefined
      : (memory.seq === 0 && memory.doubted) || lastLine(memory);
  return { writer, because, ...(doubted === undefined ? {} : { doubted }) };
};

/** The real path of a state folder, which must exist. Codes `disk-…`, `file-missing`. */
export const realState = (disk: Disk, state: string): Outcome<string> => {
  const real = onDisk(state, () => disk.real(state));
  return real.ok ? ok(real.value) : real;
};
