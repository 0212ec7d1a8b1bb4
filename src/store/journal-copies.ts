import { chainReader } from '../proof/chain.ts';
import { isWriter } from '../proof/line-shape.ts';
import type { Disk } from './disk.ts';
import { inState, journalFile, stateFolders } from './layout.ts';
import { readFile } from './read-file.ts';

/** A file in `journal/` that is not a writer's own. It is not read as a journal. */
export interface Stray {
  /** Its path in the state. */
  readonly name: string;
  /** What it is, in one line for a person. */
  readonly what: string;
  readonly todo: string;
  /** True where it holds entries that a person saw accepted and that the build does not have. */
  readonly holdsMore: boolean;
}

/** In bytes; a larger copy is listed and not compared. */
const largest = 256 * 1024 * 1024;

const plain = (name: string): Stray => ({
  name,
  what: 'this is no journal file, and is not read',
  todo: 'remove it once you know what it is',
  holdsMore: false,
});

/** Every file service names conflict copies in its own way, but always beginning with the name of the original. */
const writerIn = (name: string): string | undefined => {
  const writer = name.replace(`${stateFolders.journal}/`, '').replace(/^\./, '').slice(0, 8);
  return isWriter(writer) ? writer : undefined;
};

const bytesOf = (disk: Disk, state: string, file: string): Buffer | undefined => {
  const read = readFile(disk, inState(state, file), { where: file, limit: largest });
  return read.ok ? Buffer.from(read.value.buffer, read.value.byteOffset, read.value.length) : undefined;
};

const linesOf = (bytes: Buffer | undefined): readonly string[] => {
  const lines = bytes?.toString('utf8').split('\n') ?? [];
  return lines.at(-1) === '' ? lines.slice(0, -1) : lines;
};

/** The lines of a copy that form a chain of this writer, from the first line on. */
const chained = (writer: string, name: string, lines: readonly string[]): readonly string[] => {
  const reader = chainReader(writer, name);
  const first = lines.findIndex((line) => !reader.take(line));
  return first === -1 ? lines : lines.slice(0, first);
};

const entries = (count: number): string => (count === 1 ? 'one entry' : `${count} entries`);

/** Compares a copy with the writer's own file. The copy is an earlier state of it, continues it, or differs from it. */
const compared = (name: string, writer: string, own: readonly string[], copy: readonly string[]): Stray => {
  const file = journalFile(writer);
  const differs = copy.findIndex((line, index) => line !== own[index]);
  if (differs === -1)
    return {
      name,
      what: `a copy of ${file}, which holds all of it already; it is not read`,
      todo: 'remove it',
      holdsMore: false,
    };
  const more = entries(copy.length - differs);
  return differs === own.length
    ? {
        name,
        what: `a copy of ${file} that goes on where that ends: ${more} of it are not in the build; it is not read`,
        todo: `take them back: close dryfit, and rename it to ${file}, in the place of that one`,
        holdsMore: true,
      }
    : {
        name,
        what: `a copy of ${file} that went another way from line ${differs + 1} on: ${more} of it are not in the build; it is not read`,
        todo: 'two machines wrote under one name; look at what they say, and enter again what was done',
        holdsMore: true,
      };
};

/** The files in `journal/` that are not read (see `journalNames`), each compared with the file that it is a copy of. */
export const journalStrays = (disk: Disk, state: string, unread: readonly string[]): readonly Stray[] =>
  unread.map((name) => {
    const writer = writerIn(name);
    if (writer === undefined) return plain(name);
    const copy = chained(writer, name, linesOf(bytesOf(disk, state, name)));
    return copy.length === 0
      ? plain(name)
      : compared(name, writer, linesOf(bytesOf(disk, state, journalFile(writer))), copy);
  });
