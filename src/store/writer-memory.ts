import { join } from 'node:path';
import { type Outcome } from '../fault/fault.ts';
import { canonicalJson, isJsonObject, parseCanonicalLine } from '../proof/canonical.ts';
import type { Link } from '../proof/chain.ts';
import { isHash, sha256Hex } from '../proof/hash.ts';
import { isWriter } from '../proof/line-shape.ts';
import type { Disk } from './disk.ts';
import { onDisk } from './disk-fault.ts';
import { readText } from './read-file.ts';
import { writeAll, writeFile } from './write-file.ts';

/*
 * What this machine remembers of its own writer: one small file for each build and each place of it, in the person's own
 * configuration folder. Its first line says where the writer's file ended. It is made durable when a session first writes and when
 * it ends. Between the two, a line `SEQ HASH` follows for each entry. Those lines are not synced: they survive a kill, and after a
 * power cut some of them may be missing, which costs nothing.
 */

/** Where the file of this machine's writer of a build ended. */
export interface WriterMemory {
  readonly writer: string;
  /** The last line known to be in the file; 0 and "" before the first. */
  readonly seq: number;
  readonly hash: string;
  /** True while a session that has begun to write has not ended. Then the file may have more lines than `seq`. */
  readonly writing: boolean;
  /** True where the disk failed while a line was written, so that nobody knows whether the file has that line. */
  readonly unsure?: boolean;
  /** True where `seq` was remembered after the session had begun. */
  readonly isNewer?: boolean;
  /** Of a new writer that has no line yet: the last line of the one that could not continue, as `lastLine` writes it. */
  readonly doubted?: string;
}

/** Where a remembered file ended, for its machine's next line: `WRITER:SEQ HASH`, or `WRITER:0` before its first line. */
export const lastLine = ({ writer, seq, hash }: Pick<WriterMemory, 'writer' | 'seq' | 'hash'>): string =>
  seq === 0 ? `${writer}:0` : `${writer}:${seq} ${hash}`;

const lastLineForm = /^(?<writer>[a-z][a-z2-7]{7}):(?<seq>0|[1-9]\d{0,14})(?: (?<hash>[0-9a-f]{64}))?$/;

/** Reads what `lastLine` wrote; `undefined` where it is of another form. `hash` is "" before the first line. */
export const readLastLine = (text: string): Pick<WriterMemory, 'writer' | 'seq' | 'hash'> | undefined => {
  const { writer, seq, hash = '' } = lastLineForm.exec(text)?.groups ?? {};
  return writer === undefined || (seq === '0') !== (hash === '') ? undefined : { writer, seq: Number(seq), hash };
};

/** Where a memory belongs: a build, by the hash of its first line, in a folder, by its real path. `build` is "" before that line. */
export interface MemoryPlace {
  readonly disk: Disk;
  readonly config: string;
  readonly build: string;
  readonly realState: string;
}

/** In bytes. A session of several hundred thousand entries remembers fewer. */
const largest = 64 * 1024 * 1024;

const memoryPath = ({ config, build, realState }: MemoryPlace): string =>
  join(config, 'writers', `${build === '' ? 'new' : build.slice(0, 16)}-${sha256Hex(realState).slice(0, 16)}.json`);

const readFirst = (text: string): WriterMemory | undefined => {
  const json = parseCanonicalLine(text);
  if (!json.ok || !isJsonObject(json.value)) return undefined;
  const { writer, seq, hash, writing, unsure, doubted } = json.value;
  if (typeof writer !== 'string' || !isWriter(writer) || typeof writing !== 'boolean') return undefined;
  if (typeof seq !== 'number' || !Number.isSafeInteger(seq) || seq < 0) return undefined;
  if (typeof hash !== 'string' || (seq === 0 ? hash !== '' : !isHash(hash))) return undefined;
  const rest = typeof doubted === 'string' && readLastLine(doubted) !== undefined ? { doubted } : {};
  return { writer, seq, hash, writing, ...(unsure === true ? { unsure } : {}), ...rest };
};

const nextForm = /^(?<seq>[1-9]\d{0,14}) (?<hash>[0-9a-f]{64})$/;

/** The memory with the lines that followed it. What a power cut has left of a line ends them. */
const readMemory = (text: string): WriterMemory | undefined => {
  const [first = '', ...rest] = text.split('\n').slice(0, -1);
  let memory = readFirst(first);
  for (const line of rest) {
    const { seq, hash } = nextForm.exec(line)?.groups ?? {};
    if (memory === undefined || seq === undefined || hash === undefined || Number(seq) < memory.seq) break;
    memory = { ...memory, seq: Number(seq), hash, isNewer: true };
  }
  return memory;
};

/** What is remembered of the writer; `undefined` where nothing is, and `unreadable` where what is there cannot be read. */
export const recallWriter = (place: MemoryPlace): WriterMemory | 'unreadable' | undefined => {
  const text = readText(place.disk, memoryPath(place), { where: 'the memory of this writer', limit: largest });
  if (!text.ok) return text.fault.code === 'file-missing' ? undefined : 'unreadable';
  return readMemory(text.value) ?? 'unreadable';
};

/** Remembers where the writer's file ends, so that it survives a power cut. Codes `disk-…`. */
export const rememberWriter = (
  place: MemoryPlace,
  { writer, seq, hash, writing, unsure = false, doubted }: WriterMemory,
): Outcome<void> => {
  const more = { ...(unsure ? { unsure } : {}), ...(doubted === undefined ? {} : { doubted }) };
  const text = `${canonicalJson({ writer, seq, hash, writing, ...more })}\n`;
  const path = memoryPath(place);
  return writeFile(place.disk, path, text, { where: path, mode: 0o600, folderMode: 0o700 });
};

/** Forgets what was remembered before the build had its first line. Where that fails, a memory remains that fits nothing. */
export const forgetWriter = (place: MemoryPlace): void =>
  void onDisk(place.config, () => place.disk.remove(memoryPath(place)));

/** Notes each line of a session behind what was remembered when it began. It never fails: without a note less is known. */
export interface MemoryNotes {
  note(link: Link): void;
  close(): void;
}

export const openNotes = (place: MemoryPlace): MemoryNotes => {
  const { disk } = place;
  const path = memoryPath(place);
  const opened = onDisk(path, () => disk.open(path, 'append', 0o600));
  let fd = opened.ok ? opened.value : undefined;
  const close = (): void => {
    const open = fd;
    fd = undefined;
    if (open !== undefined) onDisk(path, () => disk.close(open));
  };
  const note = ({ line, hash }: Link): void => {
    const open = fd;
    if (open === undefined) return;
    const noted = onDisk(path, () => writeAll(disk, open, Buffer.from(`${line.seq} ${hash}\n`, 'latin1')));
    if (!noted.ok) close(); // half a line ends the notes, so nothing may follow it
  };
  return { note, close };
};
