import { ok, type Fault, type Outcome } from '../fault/fault.ts';
import { buildOf, type Link } from '../proof/chain.ts';
import type { Disk } from './disk.ts';
import { notice, type Notice } from './disk-fault.ts';
import { openAppender, type Appender } from './journal-append.ts';
import type { JournalRead } from './journal-read.ts';
import { settleEnds } from './torn.ts';
import {
  forgetWriter,
  openNotes,
  recallWriter,
  rememberWriter,
  type MemoryNotes,
  type MemoryPlace,
  type WriterMemory,
} from './writer-memory.ts';
import { chooseWriter, realState, type WriterChoice } from './writers.ts';

/** Where this machine's writer writes and keeps its memory, and its source of random bytes. */
export interface Own {
  readonly disk: Disk;
  /** The absolute path of an existing folder. */
  readonly state: string;
  readonly config: string;
  readonly random: (length: number) => Uint8Array;
  /** Why the state folder is not the one that was opened, or `undefined`; see `HeldState`. */
  readonly away?: () => Fault | undefined;
}

/** The writer of this machine, with where it is remembered. */
export interface OwnWriter extends WriterChoice {
  readonly place: MemoryPlace;
  /** False for a writer of one session alone. */
  readonly isRemembered: boolean;
  /** Reports a new writer, where the one before could not continue. */
  readonly notices: readonly Notice[];
}

/** A memory from before the build's first line counts while its writer has a file here. */
const recallNew = (place: MemoryPlace, read: JournalRead): WriterMemory | undefined => {
  const memory = recallWriter({ ...place, build: '' });
  if (memory === undefined || memory === 'unreadable') return undefined;
  return read.files.some(({ writer }) => writer === memory.writer) ? memory : undefined;
};

/**
 * The writer of this machine: the one that wrote here before, if its file is as it left it, else a new one.
 * @param read the journal as it was found, torn tails included.
 * @param isLocked false where another process might write as the same writer: then it is a new one, which nobody remembers.
 */
export const chooseOwnWriter = (
  { disk, state, config, random }: Own,
  read: JournalRead,
  isLocked = true,
): Outcome<OwnWriter> => {
  const real = realState(disk, state);
  if (!real.ok) return real;
  const place: MemoryPlace = { disk, config, build: read.build ?? '', realState: real.value };
  if (!isLocked) {
    const { writer } = chooseWriter(undefined, read, random);
    const what = `no lock can be kept here, so this session writes in a file of its own: ${writer}`;
    return ok({ writer, place, isRemembered: false, notices: [notice('writer-new', what)] });
  }
  const memory = (read.build === undefined ? undefined : recallWriter(place)) ?? recallNew(place, read);
  const choice = chooseWriter(memory, read, random);
  const { writer, because } = choice;
  const notices = because === undefined ? [] : [notice('writer-new', `${because}; ${writer} goes on from here`)];
  return ok({ ...choice, place, isRemembered: true, notices });
};

/**
 * Settles how the journal files end (`settleEnds`), and remembers how this machine's own file ends now. Only the process that
 * holds the lock may call this.
 */
export const settleOwnEnd = (
  { disk, state }: Own,
  read: JournalRead,
  chosen: OwnWriter,
): ReturnType<typeof settleEnds> => {
  const settled = settleEnds(disk, state, read, chosen);
  const { memory, place, writer } = chosen;
  const wasCut = read.files.some((file) => file.writer === writer && file.torn !== undefined);
  if (!settled.ok || memory === undefined || (memory.unsure !== true && !wasCut)) return settled;
  const last = settled.value.read.files.find((file) => file.writer === writer)?.links.at(-1);
  rememberWriter(place, { writer, seq: last?.line.seq ?? 0, hash: last?.hash ?? '', writing: last === undefined });
  return settled;
};

/** What a session remembers of its writer while it writes. A folder that cannot be written keeps nobody from entering anything. */
const memoryOf = ({ place, writer, doubted }: OwnWriter) => {
  let here = place;
  let notes: MemoryNotes | undefined;
  const remember = (last: Link | undefined, how: Pick<WriterMemory, 'writing' | 'unsure'>): void => {
    notes?.close();
    notes = undefined;
    const untold = last === undefined && doubted !== undefined ? { doubted } : {};
    rememberWriter(here, { writer, seq: last?.line.seq ?? 0, hash: last?.hash ?? '', ...how, ...untold });
  };
  const begin = (last: Link | undefined): void => {
    remember(last, { writing: true });
    notes = openNotes(here);
  };
  const note = (link: Link): void => {
    if (here.build !== '') return notes?.note(link);
    here = { ...here, build: buildOf(link) };
    begin(link);
    forgetWriter({ ...here, build: '' });
  };
  return { begin, note, remember };
};

/**
 * Opens the writer of this machine. Where its file ends is remembered before the first line of a session, with each line, and
 * when the session closes.
 * @param read the journal as it was found, with the own file's torn tail already set aside.
 */
export const openOwnAppender = ({ disk, state, away }: Own, read: JournalRead, chosen: OwnWriter): Appender => {
  const { writer } = chosen;
  const found = read.files.find((file) => file.writer === writer);
  const inner = openAppender(disk, state, writer, found, away);
  if (!chosen.isRemembered) return inner;
  const memory = memoryOf(chosen);
  let hasBegun = false;
  const append: Appender['append'] = (line) => {
    if (!hasBegun) memory.begin(inner.head());
    hasBegun = true;
    const link = inner.append(line);
    if (link.ok) memory.note(link.value);
    else if (inner.isUnsure()) memory.remember(inner.head(), { writing: true, unsure: true });
    return link;
  };
  const close = (): void => {
    inner.close();
    if (!hasBegun) return;
    const unsure = inner.isUnsure();
    memory.remember(inner.head(), { writing: unsure, unsure });
  };
  return { ...inner, append, close };
};
