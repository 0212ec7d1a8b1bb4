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
 * Which writer this machine writes as. A file that was continued on two machines could never be merged, so a writer continues
 * only a file that ends where it remembers. A state that was restored from a copy, or copied to where another dryfit works, gets
 * a new writer. The memory is in the person's own configuration folder, one small file for each build and each place of it. It is
 * written when a session first writes and when it ends, not with every line.
 */

/** Where the file of this machine's writer of a build ended. */
export interface WriterMemory {
  readonly writer: string;
  /** The last line known to be in the file; 0 and "" before the first. */
  readonly seq: number;
  readonly hash: string;
  /** True while a session that has begun to write has not ended. Then the file may have more lines than `seq`. */
  readonly writing: boolean;
}

/** Which writer to continue with, and, where it is a new one, the reason to report. */
export interface WriterChoice {
  readonly writer: string;
  readonly because?: string;
}

const letters = 'abcdefghijklmnopqrstuvwxyz';
const alphabet = `${letters}234567`;

/** A new writer's name, from eight random bytes: a letter, then seven of a to z and 2 to 7. */
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

/** What is remembered of the writer of a build in a place; `undefined` where there is no memory, or where it cannot be read. */
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

/** Remembers where the writer's file ends, so that it survives a power cut. Codes `disk-…`. */
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

/** Why the remembered writer cannot continue, or `undefined` where it can. `read` is the journal as found, torn tails included. */
const doubt = ({ writer, seq, hash, writing }: WriterMemory, read: JournalRead): string | undefined => {
  const file = read.files.find((candidate) => candidate.writer === writer);
  const { links = [], before = 0 } = file ?? {};
  const count = before + links.length;
  if (count < seq) return `the file of ${writer} ends at line ${count}, not at ${seq}`;
  if (seq > 0 && links[seq - 1 - before]?.hash !== hash) return `line ${seq} of ${writer} is not the one written here`;
  // a session that was killed while it wrote leaves more lines, or a piece of one; without any, lines may have been lost
  const hasMore = count > seq || file?.torn !== undefined;
  return writing && !hasMore ? `the last session of ${writer} did not end, and none of its lines are there` : undefined;
};

/** The writer to continue with: the remembered one if its file ends where it must, else a new one. */
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

/** The real path of a state folder, which must exist. Codes `disk-…`, `file-missing`. */
export const realState = (disk: Disk, state: string): Outcome<string> => {
  const real = onDisk(state, () => disk.real(state));
  return real.ok ? ok(real.value) : real;
};
