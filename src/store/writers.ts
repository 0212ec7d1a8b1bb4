import { join } from 'node:path';
import { ok, type Outcome } from '../fault/fault.ts';
import { canonicalJson, isJsonObject, parseCanonicalLine } from '../proof/canonical.ts';
import { isHash, sha256Hex } from '../proof/hash.ts';
import { isWriter } from '../proof/line-shape.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import type { JournalRead } from './journal-read.ts';
import { readText } from './read-file.ts';
import { writeFile } from './write-file.ts';

/*
 * Who writes here. A file with two continuations could never be merged, so a writer goes on only with a file that ends
 * where its own memory says: a state that was put back from a copy, or copied to where another dryfit works, gets a new
 * writer. The memory lies in the person's own folder, one small file for each build and place of it, and is written when
 * a session first writes and when it ends, not with every line.
 */

/** Where this machine's writer of a build last stood. */
export interface WriterMemory {
  readonly writer: string;
  /** The last line that is known to have been in its file; 0 and "" before the first. */
  readonly seq: number;
  readonly hash: string;
  /** A session has begun to write and has not ended: more lines than `seq` may be expected, and must be there. */
  readonly writing: boolean;
}

/** Which writer to go on with, and why it is a new one where that is worth telling. */
export interface WriterChoice {
  readonly writer: string;
  readonly because?: string;
}

const letters = 'abcdefghijklmnopqrstuvwxyz';
const alphabet = `${letters}234567`;

/** A new writer's name, out of eight bytes of chance: a letter, then seven of a to z and 2 to 7. */
export const newWriter = (random: (length: number) => Uint8Array): string => {
  const [head = 0, ...rest] = random(8);
  return letters.charAt(head % letters.length) + rest.map((byte) => alphabet.charAt(byte % alphabet.length)).join('');
};

const memoryPath = (config: string, build: string, realState: string): string =>
  join(config, 'writers', `${build.slice(0, 16)}-${sha256Hex(realState).slice(0, 16)}.json`);

const readMemory = (text: string): WriterMemory | undefined => {
  const json = parseCanonicalLine(text.trimEnd());
  if (!json.ok || !isJsonObject(json.value)) return undefined;
  const { writer, seq, hash, writing } = json.value;
  if (typeof writer !== 'string' || !isWriter(writer) || typeof writing !== 'boolean') return undefined;
  if (typeof seq !== 'number' || !Number.isSafeInteger(seq) || seq < 0) return undefined;
  return typeof hash === 'string' && (seq === 0 ? hash === '' : isHash(hash))
    ? { writer, seq, hash, writing }
    : undefined;
};

/** What is remembered of the writer of a build in a place; nothing where nothing is, or where it cannot be read. */
export const recallWriter = (
  disk: Disk,
  config: string,
  build: string,
  realState: string,
): WriterMemory | undefined => {
  const where = 'the memory of this writer';
  const text = readText(disk, memoryPath(config, build, realState), { where, limit: 4096 });
  return text.ok ? readMemory(text.value) : undefined;
};

/** Remembers, so that it is there after a power cut. Codes `disk-…`. */
export const rememberWriter = (
  disk: Disk,
  config: string,
  build: string,
  realState: string,
  { writer, seq, hash, writing }: WriterMemory,
): Outcome<void> => {
  const text = `${canonicalJson({ writer, seq, hash, writing })}\n`;
  const path = memoryPath(config, build, realState);
  return writeFile(disk, path, text, { where: path, mode: 0o600, folderMode: 0o700 });
};

/** What speaks against going on with the remembered writer, or `undefined`. `read` is as found, torn tails included. */
const doubt = ({ writer, seq, hash, writing }: WriterMemory, read: JournalRead): string | undefined => {
  const file = read.files.find((candidate) => candidate.writer === writer);
  const { links = [], before = 0 } = file ?? {};
  const count = before + links.length;
  if (count < seq) return `the file of ${writer} ends at line ${count}, not at ${seq}`;
  if (seq > 0 && links[seq - 1 - before]?.hash !== hash) return `line ${seq} of ${writer} is not the one written here`;
  // more lines, or a piece of one, are what a session leaves that was killed while it wrote; none at all may be lines lost
  const hasMore = count > seq || file?.torn !== undefined;
  return writing && !hasMore ? `the last session of ${writer} did not end, and none of its lines are there` : undefined;
};

/** The writer to go on with: the remembered one where its file ends where it must, else a new one. */
export const chooseWriter = (
  memory: WriterMemory | undefined,
  read: JournalRead,
  random: (length: number) => Uint8Array,
): WriterChoice => {
  const because = memory === undefined ? undefined : doubt(memory, read);
  if (memory !== undefined && because === undefined) return { writer: memory.writer };
  let writer = newWriter(random);
  while (read.files.some((file) => file.writer === writer)) writer = newWriter(random);
  return because === undefined ? { writer } : { writer, because };
};

/** The one true path of a state folder, which must be there. Codes `disk-…`, `file-missing`. */
export const realState = (disk: Disk, state: string): Outcome<string> => {
  const real = onDisk(state, () => disk.real(state));
  return real.ok ? ok(real.value) : real;
};
