import { isUtf8 } from 'node:buffer';
import { TextDecoder } from 'node:util';
import { ok, type Fault, type Outcome } from '../fault/fault.ts';
import { chainReader, commonBuild, type Chain, type ChainReader } from '../proof/chain.ts';
import { isCutObject } from '../proof/json-prefix.ts';
import { maxLine } from '../proof/line.ts';
import type { Disk, Facts } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { journalNames } from './journal-names.ts';
import { inState, journalFile, writerOfFile } from './layout.ts';
import { factsIn } from './opening-files.ts';
import { readFile } from './read-file.ts';

/** One writer's file as it was found. Reading changes nothing on the disk. */
export interface WriterFile extends Chain {
  /** `journal/WRITER.jsonl` */
  readonly file: string;
  /** In bytes, up to the end of the last good line. */
  readonly length: number;
  /** How the good part ends. `bare` is a last line whose line feed a crash has lost. */
  readonly ending: 'line-feed' | 'bare';
  /** How many lines before `links` were read and checked in an earlier run; 0 where the whole file was read. */
  readonly before?: number;
  /** The facts of the file before it was read. */
  readonly facts?: Facts;
  /** The beginning of a line that a power cut left unfinished, after `length`. */
  readonly torn?: Uint8Array;
}

/** All journal files of a state. */
export interface JournalRead {
  readonly files: readonly WriterFile[];
  /** Hash of the build's first line; absent where there is no line yet, or where `damage` leaves it unknown. */
  readonly build?: string;
  /** Names in `journal/` that are not writers' files, such as conflict copies. They are not read. */
  readonly unread: readonly string[];
  /** The first fault found. Nothing may be written before it is repaired; what was read before it is good. */
  readonly damage?: Fault;
}

/** In bytes; a larger journal file is not read. The entries of a hundred years are fewer. */
const maxJournal = 1024 ** 3;
const lineFeed = 0x0a;
/** In bytes: UTF-8 takes at most three for a UTF-16 code unit. */
const maxLineBytes = 3 * maxLine;

const decode = (bytes: Buffer, valid: boolean): string | undefined =>
  bytes.length <= maxLineBytes && (valid || isUtf8(bytes)) ? bytes.toString('utf8') : undefined;

/** The text of the tail. A character that was cut in the middle becomes another one that can only occur in a string. */
const decodeCut = (bytes: Buffer): string | undefined => {
  if (bytes.length > maxLineBytes) return undefined;
  const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
  try {
    const text = decoder.decode(bytes, { stream: true });
    return Buffer.byteLength(text) === bytes.length ? text : `${text}\u00bf`;
  } catch {
    return undefined;
  }
};

const takeLine = (reader: ChainReader, bytes: Buffer, valid: boolean): boolean => {
  const text = decode(bytes, valid);
  return text === undefined
    ? reader.refuse('line-malformed', 'not text (UTF-8), or too long')
    : reader.take(text, bytes);
};

type Tail = Pick<WriterFile, 'length' | 'ending' | 'torn'>;

/** What follows the last line feed: nothing, a whole line, the beginning of one, or damage. */
const readTail = (reader: ChainReader, all: Buffer, start: number): Tail => {
  const tail = all.subarray(start);
  const before: Tail = { length: start, ending: 'line-feed' };
  if (tail.length === 0) return before;
  const cut = decodeCut(tail);
  if (cut !== undefined && isCutObject(cut)) return { ...before, torn: Uint8Array.from(tail) };
  return takeLine(reader, tail, false) ? { length: all.length, ending: 'bare' } : before;
};

/** Lines between two reports of how far the reading is. */
const linesAtATime = 512;

/** @param at is called now and then with the number of bytes that are read. */
const readLines = (reader: ChainReader, all: Buffer, at: (bytes: number) => void): Tail => {
  const valid = isUtf8(all);
  let [start, count] = [0, 0];
  for (let end = all.indexOf(lineFeed); end !== -1; end = all.indexOf(lineFeed, start)) {
    if (!takeLine(reader, all.subarray(start, end), valid)) return { length: start, ending: 'line-feed' };
    start = end + 1;
    if ((count += 1) % linesAtATime === 0) at(start);
  }
  return readTail(reader, all, start);
};

const readWriter = (disk: Disk, state: string, writer: string, at: (bytes: number) => void): Outcome<WriterFile> => {
  const file = journalFile(writer);
  const facts = onDisk(file, () => disk.look(inState(state, file)));
  if (!facts.ok) return facts;
  const bytes = readFile(disk, inState(state, file), { where: file, limit: maxJournal });
  if (!bytes.ok) return bytes;
  const reader = chainReader(writer, file);
  const tail = readLines(reader, Buffer.from(bytes.value.buffer, bytes.value.byteOffset, bytes.value.length), at);
  return ok({ ...reader.chain(), file, ...tail, ...(facts.value === undefined ? {} : { facts: facts.value }) });
};

/** Hears how many kB (1000 bytes) of all journal files are read, and of how many. */
type Listener = (done: number, of: number) => void;

const kB = (bytes: number): number => Math.floor(bytes / 1000);

const readWriters = (
  disk: Disk,
  state: string,
  names: readonly string[],
  listener: Listener | undefined,
): Outcome<readonly WriterFile[]> => {
  const sizes = listener === undefined ? [] : names.map((file) => factsIn(disk, state, file)?.size ?? 0);
  const all = sizes.reduce((sum, size) => sum + size, 0);
  const files: WriterFile[] = [];
  let before = 0;
  for (const [index, file] of names.entries()) {
    const read = readWriter(disk, state, writerOfFile(file), (bytes) => listener?.(kB(before + bytes), kB(all)));
    if (!read.ok) return read;
    files.push(read.value);
    before += sizes[index] ?? 0;
  }
  return ok(files);
};

/**
 * Reads every writer's file of a state: its lines, how far each chain is unbroken, and what is wrong. Changes nothing. A failing
 * disk gives a fault; damage to the journal is part of the value.
 */
export const readJournal = (disk: Disk, state: string, listener?: Listener): Outcome<JournalRead> => {
  const names = journalNames(disk, state);
  if (!names.ok) return names;
  const read = readWriters(disk, state, names.value.files, listener);
  listener?.(1, 1);
  if (!read.ok) return read;
  const files = read.value;
  const build = commonBuild(files);
  const damage = files.find(({ fault }) => fault !== undefined)?.fault ?? (build.ok ? undefined : build.fault);
  return ok({
    files,
    unread: names.value.unread,
    ...(build.ok && build.value !== undefined ? { build: build.value } : {}),
    ...(damage === undefined ? {} : { damage }),
  });
};
